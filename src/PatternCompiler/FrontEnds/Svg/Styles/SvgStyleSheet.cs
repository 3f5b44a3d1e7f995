using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Svg.Syntax;

namespace PatternCompiler.FrontEnds.Svg.Styles;

/// <summary>The rules of the drawing's <c>style</c> elements, found by what the last compound of their selectors asks for.</summary>
internal sealed class SvgStyleSheet
{
    private readonly Dictionary<string, List<Rule>> rules = new(StringComparer.Ordinal);
    private readonly SvgContext context;
    private readonly CssWork work;
    private int order;

    private SvgStyleSheet(SvgContext context, CssWork work)
    {
        this.context = context;
        this.work = work;
    }

    /// <summary>The element that a <c>use</c> copies, where the elements asked for are those of a copy.</summary>
    public SvgElement? Copied
    {
        get => work.Copied;
        set => work.Copied = value;
    }

    /// <summary>Reads style elements with their text, in document order.</summary>
    /// <param name="context">Takes what is not read.</param>
    /// <param name="styles">The elements.</param>
    /// <param name="elements">Number of elements in the whole drawing, which bounds the work.</param>
    /// <param name="cancellation">Stops the work.</param>
    public static SvgStyleSheet Parse(SvgContext context, IReadOnlyList<(SvgElement Element, string Text)> styles, int elements, CancellationToken cancellation)
    {
        CompileException TooMuch(long most) => context.Fault(
            SvgCodes.TooLarge,
            $"the style rules need more than {most} comparisons with elements",
            styles[0].Element,
            "select by class or id");
        var sheet = new SvgStyleSheet(context, new CssWork(elements, TooMuch, cancellation));
        foreach ((SvgElement element, string text) in styles)
        {
            if (IsRead(context, element))
            {
                sheet.AddAll(element, CssScanner.WithoutComments(text));
            }
        }

        return sheet;
    }

    /// <summary>The declarations that apply to an element, with their specificity and order; in no order.</summary>
    public IEnumerable<(CssDeclaration Declaration, long Specificity, int Order)> For(SvgElement element)
    {
        IEnumerable<string> keys = element.Classes.Distinct().Select(name => "." + name).Prepend(element.Name).Prepend("*");
        keys = element.Get("id") is string id ? keys.Append("#" + id) : keys;
        foreach (string key in keys)
        {
            foreach (Rule rule in rules.GetValueOrDefault(key) ?? [])
            {
                if (rule.Selector.Matches(element, work))
                {
                    foreach (CssDeclaration declaration in rule.Declarations)
                    {
                        yield return (declaration, rule.Selector.Specificity, rule.Order);
                    }
                }
            }
        }
    }

    private static bool IsRead(SvgContext context, SvgElement element)
    {
        string type = element.Get("type") ?? "";
        string media = (element.Get("media") ?? "").Trim().ToLowerInvariant();
        if (media is not ("" or "all" or "screen"))
        {
            throw context.Fault(SvgCodes.NotRead, $"the style sheet for media=\"{SvgLength.Shorten(media)}\" is not read", element, "leave the attribute out if the rules hold, or delete the style sheet");
        }

        return type.Length == 0 || type.Trim().Equals("text/css", StringComparison.OrdinalIgnoreCase);
    }

    private void AddAll(SvgElement element, string text)
    {
        var scanner = new CssScanner(text);
        while (true)
        {
            SkipBetweenRules(ref scanner);
            if (scanner.AtEnd)
            {
                return;
            }

            int start = scanner.Position;
            if (scanner.Peek() == '@')
            {
                SkipAtRule(ref scanner, element);
                continue;
            }

            scanner.SkipTo("{");
            if (scanner.AtEnd)
            {
                throw context.Fault(SvgCodes.NotRead, $"the style sheet ends with \"{SvgLength.Shorten(text[start..].Trim())}\", which has no braces", element, "complete the rule, or delete it");
            }

            string selectors = text[start..scanner.Position].Trim(SvgElement.Blanks);
            scanner.Position++;
            int body = scanner.Position;
            scanner.SkipTo("}");
            Add(element, selectors, text[body..scanner.Position]);
            scanner.TryTake('}');
        }
    }

    private static void SkipBetweenRules(ref CssScanner scanner)
    {
        // CDATA signs of old HTML are allowed between rules.
        while (scanner.SkipBlanks() || TryTake(ref scanner, "<!--") || TryTake(ref scanner, "-->"))
        {
        }
    }

    private static bool TryTake(ref CssScanner scanner, string word)
    {
        int start = scanner.Position;
        foreach (char c in word)
        {
            if (!scanner.TryTake(c))
            {
                scanner.Position = start;
                return false;
            }
        }

        return true;
    }

    // Rules about fonts, key frames and the like cover nothing by themselves.
    private void SkipAtRule(ref CssScanner scanner, SvgElement element)
    {
        scanner.Position++;
        string name = scanner.TakeName()?.ToLowerInvariant() ?? "";
        if (name is not ("charset" or "font-face" or "keyframes" or "-webkit-keyframes" or "page" or "counter-style" or "font-feature-values"))
        {
            throw context.Fault(SvgCodes.NotRead, $"the style sheet has a rule \"@{name}\", which is not read", element, "write its rules without conditions, or delete it");
        }

        scanner.SkipTo("{;");
        bool isBlock = scanner.TryTake('{');
        if (isBlock)
        {
            scanner.SkipTo("}");
            scanner.TryTake('}');
        }
        else
        {
            scanner.TryTake(';');
        }
    }

    private void Add(SvgElement element, string text, string body)
    {
        if (!CssSelectorParser.TryParse(text, out var selectors, out string fault))
        {
            throw context.Fault(SvgCodes.NotRead, $"the style sheet has a selector \"{SvgLength.Shorten(text)}\", of which \"{SvgLength.Shorten(fault)}\" is not read", element, "select by element name, class, id or attribute");
        }

        if (body.Contains('{', StringComparison.Ordinal))
        {
            throw context.Fault(SvgCodes.NotRead, $"the style sheet has rules inside the rule \"{SvgLength.Shorten(text)}\", which are not read", element, "write them one after the other");
        }

        List<CssDeclaration> declarations = [.. CssDeclaration.Parse(body).Where(declaration => SvgProperties.IsKnown(declaration.Property))];
        order++;
        foreach (CssSelector selector in selectors)
        {
            string key = selector.Compounds[^1].Select(Key).MaxBy(found => found[0] switch { '#' => 3, '.' => 2, '*' => 0, _ => 1 })!;
            if (!rules.TryGetValue(key, out List<Rule>? list))
            {
                rules.Add(key, list = []);
            }

            list.Add(new(selector, declarations, order));
        }
    }

    private static string Key(CssCondition condition) => condition switch
    {
        CssId id => "#" + id.Id,
        CssClass name => "." + name.Name,
        CssType type => type.Name,
        _ => "*",
    };

    private sealed record Rule(CssSelector Selector, List<CssDeclaration> Declarations, int Order);
}
