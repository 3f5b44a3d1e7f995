using System.Collections.Immutable;
using System.Globalization;
using PatternCompiler.FrontEnds.Svg.Syntax;

namespace PatternCompiler.FrontEnds.Svg.Styles;

/// <summary>
/// Reads lists of selectors: types, classes, ids, attributes, every combinator, and the pseudo-classes that say something of a
/// drawing at rest. What it does not know it says, so that no rule is left out unseen.
/// </summary>
internal static class CssSelectorParser
{
    private const int DeepestNest = 16;

    /// <summary>Reads a list; on failure <paramref name="fault"/> is what is not known.</summary>
    public static bool TryParse(string text, out ImmutableArray<CssSelector> selectors, out string fault)
    {
        var scanner = new CssScanner(text);
        try
        {
            selectors = List(ref scanner, 0);
            if (scanner.AtEnd)
            {
                fault = "";
                return true;
            }

            fault = Rest(ref scanner);
        }
        catch (FormatException unknown)
        {
            fault = unknown.Message;
        }

        selectors = [];
        return false;
    }

    private static FormatException Unknown(string what) => new(what);

    private static string Rest(ref CssScanner scanner)
    {
        int start = scanner.Position;
        scanner.SkipTo(", ");
        return scanner.Between(start, scanner.Position) is { Length: > 0 } rest ? rest : "the end";
    }

    private static ImmutableArray<CssSelector> List(ref CssScanner scanner, int depth)
    {
        if (depth > DeepestNest)
        {
            throw Unknown($"brackets more than {DeepestNest} deep");
        }

        var selectors = ImmutableArray.CreateBuilder<CssSelector>();
        do
        {
            selectors.Add(Complex(ref scanner, depth));
        }
        while (scanner.TryTake(','));
        return selectors.DrainToImmutable();
    }

    private static CssSelector Complex(ref CssScanner scanner, int depth)
    {
        var compounds = ImmutableArray.CreateBuilder<ImmutableArray<CssCondition>>();
        var combinators = ImmutableArray.CreateBuilder<CssCombinator>();
        scanner.SkipBlanks();
        while (true)
        {
            compounds.Add(Compound(ref scanner, depth));
            bool isApart = scanner.SkipBlanks();
            if (scanner.AtEnd || scanner.Peek() is ',' or ')')
            {
                return new(compounds.DrainToImmutable(), combinators.DrainToImmutable());
            }

            combinators.Add(
                scanner.TryTake('>') ? CssCombinator.Child
                : scanner.TryTake('+') ? CssCombinator.NextSibling
                : scanner.TryTake('~') ? CssCombinator.LaterSibling
                : isApart ? CssCombinator.Descendant
                : throw Unknown(Rest(ref scanner)));
            scanner.SkipBlanks();
        }
    }

    private static ImmutableArray<CssCondition> Compound(ref CssScanner scanner, int depth)
    {
        var conditions = ImmutableArray.CreateBuilder<CssCondition>();
        if (scanner.TryTake('*'))
        {
            conditions.Add(new CssAny());
        }
        else if (scanner.TakeName() is string type)
        {
            conditions.Add(new CssType(type));
        }

        while (true)
        {
            int start = scanner.Position;
            if (scanner.TryTake('#'))
            {
                conditions.Add(new CssId(scanner.TakeName() ?? throw Unknown(Rest(ref scanner))));
            }
            else if (scanner.TryTake('.'))
            {
                conditions.Add(new CssClass(scanner.TakeName() ?? throw Unknown(Rest(ref scanner))));
            }
            else if (scanner.TryTake('['))
            {
                conditions.Add(Attribute(ref scanner, start));
            }
            else if (scanner.TryTake(':'))
            {
                conditions.Add(PseudoClass(ref scanner, start, depth));
            }
            else
            {
                return conditions.Count > 0 ? conditions.DrainToImmutable() : throw Unknown(Rest(ref scanner));
            }
        }
    }

    private static CssAttribute Attribute(ref CssScanner scanner, int start)
    {
        scanner.SkipBlanks();
        string? name = scanner.TakeName();
        scanner.SkipBlanks();
        char sign = scanner.Peek();
        string? value = "";
        bool ignoresCase = false;
        if (sign == ']')
        {
            sign = '\0';
        }
        else
        {
            scanner.Position += sign == '=' ? 0 : 1;
            bool isComparison = sign is '=' or '~' or '|' or '^' or '$' or '*' && scanner.TryTake('=');
            scanner.SkipBlanks();
            value = isComparison ? scanner.TakeString() ?? scanner.TakeName() : null;
            scanner.SkipBlanks();
            string? flag = scanner.TakeName();
            ignoresCase = flag is "i" or "I";
            scanner.SkipBlanks();
            value = flag is null or "i" or "I" or "s" or "S" ? value : null;
        }

        if (name is null || value is null || !scanner.TryTake(']'))
        {
            scanner.SkipTo("]");
            scanner.TryTake(']');
            throw Unknown(scanner.Between(start, scanner.Position));
        }

        return new(name, sign, value, ignoresCase);
    }

    private static CssCondition PseudoClass(ref CssScanner scanner, int start, int depth)
    {
        string? name = scanner.TakeName()?.ToLowerInvariant();
        if (name is null || !scanner.TryTake('('))
        {
            return name switch
            {
                "root" => new CssRoot(),
                "empty" => new CssEmpty(),
                "first-child" => new CssPlace(0, 1, false, false, []),
                "last-child" => new CssPlace(0, 1, true, false, []),
                "first-of-type" => new CssPlace(0, 1, false, true, []),
                "last-of-type" => new CssPlace(0, 1, true, true, []),
                "only-child" => Only(isOfType: false),
                "only-of-type" => Only(isOfType: true),
                "hover" or "active" or "focus" or "focus-within" or "focus-visible" or "visited" => new CssNever(),
                _ => throw Unknown(Name(ref scanner, start)),
            };
        }

        CssCondition? condition = name switch
        {
            "not" => new CssOneOf(List(ref scanner, depth + 1), IsNegated: true, IsWeightless: false),
            "is" => new CssOneOf(List(ref scanner, depth + 1), IsNegated: false, IsWeightless: false),
            "where" => new CssOneOf(List(ref scanner, depth + 1), IsNegated: false, IsWeightless: true),
            "nth-child" or "nth-last-child" or "nth-of-type" or "nth-last-of-type" => Place(ref scanner, name, depth),
            _ => null,
        };
        return condition is not null && scanner.TryTake(')') ? condition : throw Unknown(Name(ref scanner, start));
    }

    // Two conditions in one pseudo-class have the weight of one.
    private static CssOneOf Only(bool isOfType) => new(
        [new CssSelector([[new CssWeightless(new CssPlace(0, 1, false, isOfType, [])), new CssPlace(0, 1, true, isOfType, [])]], [])],
        IsNegated: false,
        IsWeightless: false);

    private static string Name(ref CssScanner scanner, int start)
    {
        scanner.Position = start + 1;
        scanner.SkipTo(" ,.#[>+~)");
        return scanner.Between(start, scanner.Position);
    }

    // An+B of CSS Syntax 3, and "of" with selectors after it.
    private static CssPlace? Place(ref CssScanner scanner, string name, int depth)
    {
        int start = scanner.Position;
        while (!scanner.AtEnd && scanner.Peek() != ')' && !IsOf(ref scanner))
        {
            scanner.Position++;
        }

        string formula = scanner.Between(start, scanner.Position).Trim().ToLowerInvariant();
        ImmutableArray<CssSelector> of = [];
        bool isOfType = name.EndsWith("of-type", StringComparison.Ordinal);
        if (!isOfType && IsOf(ref scanner))
        {
            scanner.Position += 2;
            of = List(ref scanner, depth + 1);
        }

        return Formula(formula) is var (step, offset)
            ? new(step, offset, name.StartsWith("nth-last", StringComparison.Ordinal), isOfType, of)
            : null;
    }

    private static bool IsOf(ref CssScanner scanner)
    {
        int start = scanner.Position;
        bool isOf = char.ToLowerInvariant(scanner.Peek()) == 'o' && scanner.TakeName() is "of" or "OF" or "Of" or "oF";
        scanner.Position = start;
        return isOf;
    }

    private static (int Step, int Offset)? Formula(string formula)
    {
        if (formula is "odd" or "even")
        {
            return (2, formula == "odd" ? 1 : 0);
        }

        int n = formula.IndexOf('n', StringComparison.Ordinal);
        if (n < 0)
        {
            return Number(formula) is int place ? (0, place) : null;
        }

        int? step = formula[..n] switch { "" or "+" => 1, "-" => -1, var text => Number(text) };
        string rest = formula[(n + 1)..].Trim();
        int? offset = rest.Length == 0 ? 0
            : rest[0] is '+' or '-' && rest[1..].TrimStart() is { Length: > 0 } digits && char.IsAsciiDigit(digits[0]) ? Number(rest[0] + digits)
            : null;
        return step is int a && offset is int b ? (a, b) : null;
    }

    private static int? Number(string text) =>
        int.TryParse(text, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out int number) && Math.Abs((long)number) < 1 << 30 ? number : null;

    private sealed record CssWeightless(CssCondition Inner) : CssCondition
    {
        public override long Specificity => 0;

        public override bool Holds(SvgElement element, CssWork work) => Inner.Holds(element, work);
    }
}
