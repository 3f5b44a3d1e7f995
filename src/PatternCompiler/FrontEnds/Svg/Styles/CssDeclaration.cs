using PatternCompiler.FrontEnds.Svg.Syntax;

namespace PatternCompiler.FrontEnds.Svg.Styles;

/// <summary>One property with its value, as written in a style sheet or a style attribute.</summary>
/// <param name="Property">Name in lower case.</param>
/// <param name="Value">Value without blanks at its ends.</param>
/// <param name="IsImportant">True if it ends with <c>!important</c>.</param>
internal readonly record struct CssDeclaration(string Property, string Value, bool IsImportant)
{
    /// <summary>The declarations of a text without comments, such as <c>fill: none; stroke: red !important</c>; what is none is skipped, as CSS says.</summary>
    public static List<CssDeclaration> Parse(string text)
    {
        var declarations = new List<CssDeclaration>();
        var scanner = new CssScanner(text);
        while (!scanner.AtEnd)
        {
            scanner.SkipBlanks();
            string? property = scanner.TakeName();
            scanner.SkipBlanks();
            bool isDeclaration = property is not null && scanner.TryTake(':');
            int start = scanner.Position;
            scanner.SkipTo(";");
            if (isDeclaration && Make(property!, scanner.Between(start, scanner.Position)) is CssDeclaration declaration)
            {
                declarations.Add(declaration);
            }

            scanner.TryTake(';');
        }

        return declarations;
    }

    private static CssDeclaration? Make(string property, string text)
    {
        string value = text.Trim(SvgElement.Blanks);
        int sign = value.LastIndexOf('!');
        bool isImportant = sign >= 0 && value[(sign + 1)..].Trim(SvgElement.Blanks).Equals("important", StringComparison.OrdinalIgnoreCase);
        value = isImportant ? value[..sign].TrimEnd(SvgElement.Blanks) : value;
        return value.Length == 0 || (sign >= 0 && !isImportant) ? null : new(property.ToLowerInvariant(), value, isImportant);
    }
}
