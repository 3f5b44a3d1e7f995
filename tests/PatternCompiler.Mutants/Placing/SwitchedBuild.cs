using System.Text;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;
using Microsoft.CodeAnalysis.Emit;
using Microsoft.CodeAnalysis.Text;

namespace PatternCompiler.Mutants.Placing;

/// <summary>The library with all its mutants as switches: those that do not compile are taken out until the rest does.</summary>
internal sealed class SwitchedBuild
{
    private readonly CSharpCompilation _plain;
    private readonly ResourceDescription[] _resources;
    private readonly List<PlacedMutant> _placed = [];
    private readonly HashSet<int> _rolledBack = [];

    public SwitchedBuild(CSharpCommandLineArguments arguments, IEnumerable<string> generated, string sourceFolder, Func<string, bool> isWanted)
    {
        SourceText[] added = [Own("MutantSwitch"), Own("PlantedFaults")];
        SyntaxTree[] trees =
        [
            .. arguments.SourceFiles.Select(file => file.Path).Concat(generated).Select(path => Parse(SourceText.From(File.ReadAllText(path), Encoding.UTF8), arguments, path)),
            Parse(added[0], arguments, Path.Combine(sourceFolder, "Mutants/MutantSwitch.cs")),
            Parse(added[1], arguments, Path.Combine(sourceFolder, PlantedFile)),
        ];
        MetadataReference[] references = [.. arguments.MetadataReferences.Select(r => MetadataReference.CreateFromFile(r.Reference, r.Properties))];
        _plain = CSharpCompilation.Create(arguments.CompilationName, trees, references, arguments.CompilationOptions.WithGeneralDiagnosticOption(ReportDiagnostic.Suppress).WithSpecificDiagnosticOptions(null));
        _resources = [.. arguments.ManifestResources];
        var finder = new MutantFinder(sourceFolder);
        foreach (SyntaxTree tree in trees)
        {
            string file = Path.GetRelativePath(sourceFolder, tree.FilePath).Replace('\\', '/');
            if (file == PlantedFile)
            {
                _placed.AddRange(finder.Find(tree, _plain.GetSemanticModel(tree)).Where(p => p.Mutant.Kind is "swapped axis" or "dropped statement" || p.Mutant.Identity.Contains(".EveryKind|", StringComparison.Ordinal)));
            }
            else if (isWanted(file))
            {
                _placed.AddRange(finder.Find(tree, _plain.GetSemanticModel(tree)));
            }
        }
    }

    /// <summary>The file of the planted faults, as <see cref="Mutant.File"/> has it.</summary>
    public const string PlantedFile = "Mutants/PlantedFaults.cs";

    /// <summary>Every mutant found, compiling or not.</summary>
    public IEnumerable<Mutant> Mutants => _placed.Select(p => p.Mutant);

    /// <summary>Takes out what did not compile before, to save the rounds that find it.</summary>
    public void TakeOut(IReadOnlySet<string> identities) => _rolledBack.UnionWith(Mutants.Where(m => identities.Contains(m.Identity)).Select(m => m.Number));

    public bool Compiles(Mutant mutant) => !_rolledBack.Contains(mutant.Number);

    /// <summary>Compiles into a file; <paramref name="progress"/> is told how many errors each round leaves.</summary>
    /// <exception cref="InvalidOperationException">An error that no mutant causes.</exception>
    public void Write(string path, Action<string> progress)
    {
        while (true)
        {
            CSharpCompilation switched = Switched();
            using var image = new MemoryStream();
            EmitResult result = switched.Emit(image, manifestResources: _resources);
            if (result.Success)
            {
                File.WriteAllBytes(path, image.ToArray());
                return;
            }

            Diagnostic[] errors = [.. result.Diagnostics.Where(d => d.Severity == DiagnosticSeverity.Error)];
            int before = _rolledBack.Count;
            foreach (Diagnostic error in errors)
            {
                RollBack(error);
            }

            IEnumerable<string> kinds = errors.CountBy(e => e.Id).OrderByDescending(k => k.Value).Take(5).Select(k => $"{k.Value} {k.Key}");
            progress($"{errors.Length} errors ({string.Join(", ", kinds)} ...), {_rolledBack.Count} mutants do not compile");
            if (_rolledBack.Count == before)
            {
                throw new InvalidOperationException($"No mutant explains: {errors[0]}");
            }
        }
    }

    private CSharpCompilation Switched()
    {
        ILookup<SyntaxNode, PlacedMutant> mutants = _placed.Where(p => Compiles(p.Mutant)).ToLookup(p => p.Original);
        var writer = new SwitchWriter(mutants);
        var touched = new HashSet<SyntaxTree>(_placed.Select(p => p.Original.SyntaxTree));
        CSharpCompilation compilation = _plain;
        foreach (SyntaxTree tree in touched)
        {
            compilation = compilation.ReplaceSyntaxTree(tree, tree.WithRootAndOptions(writer.Visit(tree.GetRoot())!, tree.Options));
        }

        return compilation;
    }

    /// <summary>Takes out the innermost mutant around an error; where none is around it, those of the member that touch what the error names.</summary>
    private void RollBack(Diagnostic error)
    {
        SyntaxNode node = (error.Location.SourceTree ?? throw new InvalidOperationException($"Not in the sources: {error}")).GetRoot().FindNode(error.Location.SourceSpan, getInnermostNodeForTie: true);
        SyntaxNode? around = node.AncestorsAndSelf().FirstOrDefault(n => n.HasAnnotations(SwitchWriter.Mark));
        bool isFlow = error.Id is "CS0165" or "CS0170" or "CS0177" or "CS0269" or "CS8629";
        if (around is not null && !isFlow)
        {
            _rolledBack.UnionWith(Numbers(around));
            return;
        }

        SyntaxNode? member = node.AncestorsAndSelf().OfType<MemberDeclarationSyntax>().FirstOrDefault();
        if (member is null)
        {
            return;
        }

        string[] named = error.GetMessage().Split('\'');
        string name = named.Length > 1 ? named[1] : "";
        int[] inMember = [.. member.DescendantNodesAndSelf().Where(n => n.HasAnnotations(SwitchWriter.Mark)).SelectMany(Numbers)];
        int[] guilty = [.. inMember.Where(number => name.Length > 0 && _placed.First(p => p.Mutant.Number == number).Original.ToString().Contains(name, StringComparison.Ordinal))];
        _rolledBack.UnionWith(guilty.Length > 0 ? guilty : inMember);
    }

    private static IEnumerable<int> Numbers(SyntaxNode node) =>
        node.GetAnnotations(SwitchWriter.Mark).Select(a => int.Parse(a.Data!, System.Globalization.CultureInfo.InvariantCulture));

    private static SyntaxTree Parse(SourceText text, CSharpCommandLineArguments arguments, string path) =>
        CSharpSyntaxTree.ParseText(text, arguments.ParseOptions, path);

    private static SourceText Own(string name)
    {
        using Stream stream = typeof(SwitchedBuild).Assembly.GetManifestResourceStream($"{name}.cs")!;
        return SourceText.From(stream, Encoding.UTF8);
    }
}
