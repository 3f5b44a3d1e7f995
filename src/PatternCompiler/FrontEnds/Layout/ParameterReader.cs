using System.Collections.Immutable;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Reads <c>let name = formula</c> and puts values from outside in place of top-level ones.</summary>
internal sealed class ParameterReader(ValueReader values, ImmutableSortedDictionary<string, string> overrides)
{
    private readonly HashSet<string> topLevelNames = new(StringComparer.Ordinal);

    /// <summary>True once a parameter has been defined.</summary>
    public bool HasAny { get; private set; }

    /// <summary>Reads the rest of a <c>let</c> line.</summary>
    public void Read(ref LineScanner scanner)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        string name = TakeNewName(ref scanner);
        scanner.Expect('=', "after the name of the parameter");
        Amount value = values.TakeAmount(ref scanner);
        scanner.ExpectEnd("the formula");
        HasAny = true;
        if (values.Scope.Outer is null)
        {
            topLevelNames.Add(name);
            value = overrides.TryGetValue(name, out string? formula) ? Evaluate(name, formula) : value;
        }

        if (!values.Scope.TryDefine(name, value))
        {
            throw scanner.Fault(LayoutCodes.NameTaken, $"parameter '{name}' is defined twice", start, "a parameter keeps its value: choose another name");
        }
    }

    /// <summary>Fails if a value from outside is for a parameter that no top-level <c>let</c> defines.</summary>
    public void RequireAllUsed(string file)
    {
        foreach (string name in overrides.Keys)
        {
            if (!topLevelNames.Contains(name))
            {
                string? nearest = NearestWord.Find(name, topLevelNames.Order(StringComparer.Ordinal));
                throw new CompileException(
                    LayoutCodes.UnknownParameter,
                    $"a value is given for '{name}', but no 'let' at the top level defines it",
                    new SourcePlace(file),
                    nearest is null ? $"define it near the top with: let {name} = ..." : $"did you mean '{nearest}'?");
            }
        }
    }

    /// <summary>Takes a name that may stand for a parameter.</summary>
    public static string TakeNewName(ref LineScanner scanner)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        ReadOnlySpan<byte> word = scanner.TakeWord(withHyphens: false);
        if (word.Length == 0)
        {
            throw scanner.Unexpected("the name of a parameter (letters, digits and '_')");
        }

        string name = Encoding.UTF8.GetString(word);
        bool isReserved = LengthUnit.TryFind(word, out _) || name is "deg" or "rad" || FormulaFunction.Names.Contains(name);
        return isReserved
            ? throw scanner.Fault(LayoutCodes.NameTaken, $"'{name}' has a meaning of its own and cannot name a parameter", start, "choose another name")
            : name;
    }

    private Amount Evaluate(string name, string formula)
    {
        var scanner = new LineScanner(Encoding.UTF8.GetBytes(formula), $"value of {name}", 1);
        Amount value = values.TakeAmount(ref scanner);
        scanner.ExpectEnd("the formula");
        return value;
    }
}
