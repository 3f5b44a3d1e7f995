using System.Reflection;
using System.Text.RegularExpressions;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Tests.Architecture;

public sealed partial class DiagnosticCodeTests
{
    // An error that a user can accept: then it is a warning.
    private const string MayBeAccepted = "PredictionCodes.OtherSettings";

    private static readonly (Type Class, FieldInfo Field, DiagnosticCode Code)[] Codes =
    [
        .. typeof(DiagnosticCode).Assembly.GetTypes()
            .Where(type => type.Namespace == "PatternCompiler.Diagnostics.Catalogue")
            .SelectMany(type => type.GetFields(BindingFlags.Static | BindingFlags.Public | BindingFlags.NonPublic)
                .Where(field => field.FieldType == typeof(DiagnosticCode))
                .Select(field => (type, field, (DiagnosticCode)field.GetValue(null)!))),
    ];

    [Fact]
    public void Every_code_is_unique()
    {
        Assert.NotEmpty(Codes);
        Assert.Empty(Codes.GroupBy(entry => entry.Code.Id)
            .Where(group => group.Count() > 1)
            .Select(group => $"{group.Key}: {string.Join(", ", group.Select(entry => $"{entry.Class.Name}.{entry.Field.Name}"))}"));
    }

    [Fact]
    public void Every_code_is_in_one_range_of_the_catalogue_and_a_class_keeps_to_one()
    {
        string readme = File.ReadAllText(Path.Combine(SourceTree.Root, "src/PatternCompiler/Diagnostics/Catalogue/README.md"));
        string[] ranges = [.. Range().Matches(readme).Select(match => match.Groups[1].Value)];
        Assert.NotEmpty(ranges);
        foreach (var group in Codes.GroupBy(entry => entry.Class))
        {
            Assert.All(group, entry => Assert.Matches("^PC[0-9]{4}$", entry.Code.Id));
            string range = Assert.Single(group.Select(entry => entry.Code.Id[2..4]).Distinct());
            Assert.True(ranges.Contains(range), $"{group.Key.Name} uses PC{range}xx, which the catalogue's README does not list.");
        }
    }

    [Fact]
    public void Every_code_can_be_explained()
    {
        Assert.Empty(Codes.Where(entry => !DiagnosticCatalogue.All.Contains(entry.Code))
            .Select(entry => entry.Class.Name)
            .Distinct()
            .Select(name => $"add a line CodesOf(typeof({name})) to DiagnosticCatalogue.All; the class and its codes are public"));
    }

    [Fact]
    public void Every_code_lives_in_the_catalogue()
    {
        string[] elsewhere =
        [
            .. SourceTree.Files("src")
                .Where(file => !file.Path.Contains("/Catalogue/", StringComparison.Ordinal))
                .Where(file => file.Lines.Any(line => Declaration().IsMatch(line)))
                .Select(file => file.Path),
        ];
        Assert.Empty(elsewhere);
    }

    [Fact]
    public void Every_code_explains_itself()
    {
        Assert.All(Codes, entry =>
        {
            string name = $"{entry.Class.Name}.{entry.Field.Name}";
            Assert.False(string.IsNullOrWhiteSpace(entry.Code.Title) || entry.Code.Title.EndsWith('.'), $"{name}: title");
            Assert.True(entry.Code.Explanation.Length >= 60 && entry.Code.Explanation.EndsWith('.'), $"{name}: the explanation is a paragraph of sentences");
        });
    }

    /// <summary>What explains a message says whether it is a note, a warning or an error, and so do all places that report it.</summary>
    [Fact]
    public void Severities_are_as_explained()
    {
        Dictionary<string, DiagnosticKind> kinds = Codes.ToDictionary(entry => $"{entry.Class.Name}.{entry.Field.Name}", entry => entry.Code.Kind);
        var faults = new List<string>();
        foreach ((string path, string[] lines) in SourceTree.Files("src").Where(file => !file.Path.Contains("/Catalogue/", StringComparison.Ordinal)))
        {
            foreach (Match use in Reported().Matches(string.Join('\n', lines)))
            {
                if (kinds.TryGetValue(use.Groups[2].Value, out DiagnosticKind kind) && use.Groups[1].Value is { } verb
                    && !(verb switch
                    {
                        "Note" => kind is DiagnosticKind.Remark or DiagnosticKind.Doubt,
                        "Warn" => kind is DiagnosticKind.Doubt or DiagnosticKind.Loss || use.Groups[2].Value == MayBeAccepted,
                        _ => kind is not (DiagnosticKind.Remark or DiagnosticKind.Doubt or DiagnosticKind.Loss),
                    }))
                {
                    faults.Add($"{path}: {verb}({use.Groups[2].Value}, but its kind is {kind}");
                }
            }
        }

        Assert.Empty(faults);
    }

    [GeneratedRegex(@"\b(Note|Warn|CompileException)\(\s*(\w+Codes\.\w+),")]
    private static partial Regex Reported();

    [GeneratedRegex(@"\| PC(\d\d)xx \|")]
    private static partial Regex Range();

    [GeneratedRegex(@"new\(?\s*DiagnosticCode\(|DiagnosticCode \w+ = new\(")]
    private static partial Regex Declaration();
}
