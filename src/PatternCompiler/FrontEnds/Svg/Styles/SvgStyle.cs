using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Svg.Syntax;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Svg.Styles;

/// <summary>
/// The properties of an element after cascade and inheritance (CSS Cascading and Inheritance 4). Values are kept as written
/// and read where they are needed, so that <c>currentColor</c> and percentages are inherited as such.
/// </summary>
internal sealed class SvgStyle
{
    private readonly string[] values;

    private SvgStyle(string[] values)
    {
        this.values = values;
    }

    /// <summary>Initial values.</summary>
    public static SvgStyle Initial { get; } = new([.. SvgProperties.Ordered.Select(property => property.Initial)]);

    /// <summary>Which points a fill covers.</summary>
    public FillRule FillRule => Word("fill-rule") == "evenodd" ? FillRule.EvenOdd : FillRule.NonZero;

    /// <summary>Ends of the stroke.</summary>
    public StrokeEnd StrokeEnd => Word("stroke-linecap") switch { "round" => StrokeEnd.Round, "square" => StrokeEnd.Square, _ => StrokeEnd.Flat };

    /// <summary>
    /// True for <c>vector-effect: non-scaling-stroke</c>: the stroke is as wide on the screen at any scale, so that the drawing
    /// gives it no width.
    /// </summary>
    public bool IsHairline => Word("vector-effect") == "non-scaling-stroke";

    /// <summary>False for <c>visibility: hidden</c>.</summary>
    public bool IsVisible => Word("visibility") == "visible";

    /// <summary>False for <c>display: none</c>; what stands inside is not drawn either.</summary>
    public bool IsDisplayed => Word("display") != "none";

    /// <summary>True if a viewport of its own cuts what stands inside (CSS Overflow 3; 'auto' does not cut in SVG).</summary>
    public bool IsCut => Word("overflow") is "hidden" or "scroll" or "clip";

    /// <summary>A value as written.</summary>
    public string Text(string property) => values[SvgProperties.IndexOf(property)];

    /// <summary>A keyword, in lower case.</summary>
    public string Word(string property) => Text(property).ToLowerInvariant();

    /// <summary>A value that is no word of its property is an error where it decides.</summary>
    public void RequireWords(SvgContext context, SvgElement element)
    {
        Require("fill-rule", "nonzero", "evenodd");
        Require("stroke-linecap", "butt", "round", "square");
        Require("stroke-linejoin", "miter", "round", "bevel");
        Require("vector-effect", "none", "non-scaling-stroke");
        Require("visibility", "visible", "hidden", "collapse");

        void Require(string property, params ReadOnlySpan<string> words)
        {
            if (!words.Contains(Word(property)))
            {
                throw context.Fault(SvgCodes.NotRead, $"{property}=\"{SvgLength.Shorten(Text(property))}\" is not read", element, $"one of {string.Join(", ", words)} is");
            }
        }
    }

    /// <summary>Joins of the stroke.</summary>
    public StrokeJoin StrokeJoin => Word("stroke-linejoin") switch { "round" => StrokeJoin.Round, "bevel" => StrokeJoin.Cut, _ => StrokeJoin.Mitre };

    /// <summary>Width of the stroke, in user units.</summary>
    /// <param name="context">For errors.</param>
    /// <param name="element">For errors.</param>
    /// <param name="diagonal">What a percentage is of.</param>
    public double StrokeWidth(SvgContext context, SvgElement element, double diagonal)
    {
        double width = SvgLength.ToUser(SvgLength.Parse(context, element, "stroke-width", Text("stroke-width")), diagonal);
        return width >= 0
            ? width
            : throw context.Fault(SvgCodes.BadNumber, $"stroke-width=\"{SvgLength.Shorten(Text("stroke-width"))}\" is negative", element, "write a length of zero or more");
    }

    /// <summary>Mitre limit of the stroke.</summary>
    public double MitreLimit(SvgContext context, SvgElement element) =>
        Units.NumberText.TryParseReal(Text("stroke-miterlimit"), out double limit) && limit >= 1
            ? limit
            : throw context.Fault(SvgCodes.BadNumber, $"stroke-miterlimit=\"{SvgLength.Shorten(Text("stroke-miterlimit"))}\" is no number of 1 or more", element, "write for example: stroke-miterlimit=\"4\"");

    /// <summary>An opacity, between 0 and 1.</summary>
    public double Opacity(SvgContext context, SvgElement element, string property) =>
        SvgColour.TryReadOpacity(Text(property), out double opacity)
            ? opacity
            : throw context.Fault(SvgCodes.BadNumber, $"{property}=\"{SvgLength.Shorten(Text(property))}\" is no opacity", element, "write a number between 0 and 1, or a percentage");

    /// <summary>A paint with <c>currentColor</c> replaced.</summary>
    public string Paint(string property)
    {
        string paint = Text(property);
        return paint.Equals("currentcolor", StringComparison.OrdinalIgnoreCase) ? Text("color") : paint;
    }

    /// <summary>The style of an element inside one with this style.</summary>
    /// <param name="context">For errors.</param>
    /// <param name="element">The element.</param>
    /// <param name="declared">Its declarations after the cascade.</param>
    public SvgStyle For(SvgContext context, SvgElement element, SvgCascade declared)
    {
        string[] inner = new string[values.Length];
        for (int i = 0; i < inner.Length; i++)
        {
            inner[i] = SvgProperties.At(i).IsInherited ? values[i] : SvgProperties.At(i).Initial;
        }

        int overflow = SvgProperties.IndexOf("overflow");
        inner[overflow] = OwnOverflow(element);
        foreach ((int index, string value) in declared.Values)
        {
            inner[index] = Resolve(context, element, index, value, inner[overflow]);
        }

        return new(inner);
    }

    // The style sheet that every viewer begins with (SVG 2, appendix on the user agent style sheet).
    private static string OwnOverflow(SvgElement element) => element.Parent is not null && element.Name is "svg" or "symbol" ? "hidden" : "visible";

    private string Resolve(SvgContext context, SvgElement element, int index, string value, string ownOverflow)
    {
        SvgProperties.Property property = SvgProperties.At(index);
        if (value.Contains("var(", StringComparison.OrdinalIgnoreCase) || value.Equals("revert-layer", StringComparison.OrdinalIgnoreCase))
        {
            throw context.Fault(SvgCodes.NotRead, $"{property.Name}=\"{SvgLength.Shorten(value)}\" is not read", element, "write the value itself");
        }

        string word = value.Length <= 12 ? value.ToLowerInvariant() : "";
        bool isInherited = word == "inherit" || (property.IsInherited && word is "unset" or "revert")
            || (property.Name == "color" && word == "currentcolor");
        return isInherited ? values[index]
            : word == "revert" && property.Name == "overflow" ? ownOverflow
            : word is "initial" or "unset" or "revert" ? property.Initial
            : value;
    }
}
