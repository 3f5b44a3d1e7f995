using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Svg.Styles;

/// <summary>
/// What an element itself declares, after the cascade (CSS Cascading and Inheritance 4, 6; SVG 2, 6.6): attributes are weakest,
/// then come the style sheets by specificity and order, then the style attribute; what is important overrides all that is not,
/// in the same order.
/// </summary>
internal sealed class SvgCascade
{
    private static readonly string[] AttributeNames = [.. SvgProperties.Ordered.Where(property => property.IsAttribute).Select(property => property.Name)];

    private readonly Dictionary<string, Winner> winners = new(StringComparer.Ordinal);

    private SvgCascade(SvgContext context, SvgElement element)
    {
        Context = context;
        Element = element;
    }

    private enum Level
    {
        Attribute,
        Sheet,
        StyleAttribute,
        ImportantSheet,
        ImportantStyleAttribute,
    }

    /// <summary>The declared properties: place in a style, and value.</summary>
    public IReadOnlyList<(int Index, string Value)> Values { get; private set; } = [];

    /// <summary>The element with the outline and size that a style gives it; the element itself if none does.</summary>
    public SvgElement Element { get; private set; }

    private SvgContext Context { get; }

    /// <summary>Works out the declarations of an element.</summary>
    public static SvgCascade Of(SvgContext context, SvgElement element, SvgStyleSheet sheet)
    {
        var cascade = new SvgCascade(context, element);
        foreach (string name in AttributeNames)
        {
            if (element.Get(name) is string value && value.Trim(SvgElement.Blanks) is { Length: > 0 } written)
            {
                cascade.Add(new(name, written, IsImportant: false), Level.Attribute, 0, 0);
            }
        }

        foreach ((CssDeclaration declaration, long specificity, int order) in sheet.For(element))
        {
            cascade.Add(declaration, declaration.IsImportant ? Level.ImportantSheet : Level.Sheet, specificity, order);
        }

        if (element.Get("style") is string inline)
        {
            foreach (CssDeclaration declaration in CssDeclaration.Parse(CssScanner.WithoutComments(inline)))
            {
                cascade.Add(declaration, declaration.IsImportant ? Level.ImportantStyleAttribute : Level.StyleAttribute, 0, 0);
            }
        }

        cascade.Finish();
        return cascade;
    }

    private void Add(CssDeclaration declaration, Level level, long specificity, int order)
    {
        if (declaration.Property == "marker")
        {
            foreach (string part in (string[])["marker-start", "marker-mid", "marker-end"])
            {
                Add(declaration with { Property = part }, level, specificity, order);
            }
        }
        else if (declaration.Property is "all" or "overflow-x" or "overflow-y")
        {
            throw Context.Fault(SvgCodes.NotRead, $"{declaration.Property}: {SvgLength.Shorten(declaration.Value)} is not read", Element, "state the properties themselves");
        }
        else if ((SvgProperties.IndexOf(declaration.Property) >= 0 || SvgProperties.IsGeometry(declaration.Property))
            && (!winners.TryGetValue(declaration.Property, out Winner best) || (level, specificity, order).CompareTo((best.Level, best.Specificity, best.Order)) >= 0))
        {
            winners[declaration.Property] = new(declaration.Value, level, specificity, order);
        }
    }

    private void Finish()
    {
        var values = new List<(int, string)>(winners.Count);
        List<(string, string)>? geometry = null;
        foreach ((string property, Winner winner) in winners)
        {
            if (SvgProperties.IndexOf(property) is >= 0 and int index)
            {
                values.Add((index, winner.Value));
            }
            else
            {
                (geometry ??= []).Add((property, Length(property, winner.Value)));
            }
        }

        Values = values;
        Element = geometry is null ? Element : Element.With(geometry);
    }

    // In a style a length other than zero has a unit; path data and what is worked out are not read there.
    private string Length(string property, string value)
    {
        bool isLength = property != "d" && (value.Equals("auto", StringComparison.OrdinalIgnoreCase) || value == "0"
            || (value.Length > 0 && (char.IsAsciiLetter(value[^1]) || value[^1] == '%') && (char.IsAsciiDigit(value[0]) || value[0] is '+' or '-' or '.')));
        return isLength
            ? value.ToLowerInvariant()
            : throw Context.Fault(SvgCodes.NotRead, $"{property}: {SvgLength.Shorten(value)} in a style is not read", Element, $"write it as the attribute {property}");
    }

    private readonly record struct Winner(string Value, Level Level, long Specificity, int Order);
}
