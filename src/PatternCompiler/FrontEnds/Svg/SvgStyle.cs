using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>The properties of an element that decide what it covers, after inheritance.</summary>
internal sealed record SvgStyle
{
    /// <summary>Initial values, by SVG 2.</summary>
    public static SvgStyle Initial { get; } = new();

    /// <summary>Fill, or "none".</summary>
    public string Fill { get; private init; } = "black";

    /// <summary>Stroke, or "none".</summary>
    public string Stroke { get; private init; } = "none";

    /// <summary>Which points a fill covers.</summary>
    public FillRule FillRule { get; private init; } = FillRule.NonZero;

    /// <summary>Width of the stroke, in user units.</summary>
    public double StrokeWidth { get; private init; } = 1;

    /// <summary>Ends of the stroke.</summary>
    public StrokeEnd StrokeEnd { get; private init; } = StrokeEnd.Flat;

    /// <summary>Joins of the stroke.</summary>
    public StrokeJoin StrokeJoin { get; private init; } = StrokeJoin.Mitre;

    /// <summary>Mitre limit of the stroke.</summary>
    public double MitreLimit { get; private init; } = 4;

    /// <summary>
    /// True for <c>vector-effect: non-scaling-stroke</c>: the stroke is as wide on the screen at any scale, so that the drawing
    /// gives it no width. Not inherited.
    /// </summary>
    public bool IsHairline { get; private init; }

    /// <summary>The colour that <c>currentColor</c> stands for.</summary>
    public string Colour { get; private init; } = "black";

    /// <summary>False for <c>visibility: hidden</c>.</summary>
    public bool IsVisible { get; private init; } = true;

    /// <summary>False for <c>display: none</c>; not inherited, but what stands inside is not drawn either.</summary>
    public bool IsDisplayed { get; private init; } = true;

    /// <summary>The element's own transform as written, or null.</summary>
    public string? Transform { get; private init; }

    /// <summary>The style of an element inside one with this style.</summary>
    public SvgStyle For(SvgElement element, SvgStyleSheet sheet, SvgContext context, double viewportDiagonal)
    {
        SvgStyle style = this with { IsDisplayed = true, IsHairline = false, Transform = element.Get("transform") };
        foreach (string property in Presentation)
        {
            if (element.Get(property) is string value)
            {
                style = style.With(property, value, element, context, viewportDiagonal);
            }
        }

        foreach ((string property, string value) in sheet.For(element))
        {
            style = style.With(property, value, element, context, viewportDiagonal);
        }

        if (element.Get("style") is string inline)
        {
            foreach ((string property, string value) in SvgStyleSheet.Declarations(inline))
            {
                style = style.With(property, value, element, context, viewportDiagonal);
            }
        }

        return style;
    }

    private static readonly string[] Presentation =
    [
        "color", "fill", "stroke", "fill-rule", "stroke-width", "stroke-linecap", "stroke-linejoin", "stroke-miterlimit",
        "visibility", "display", "fill-opacity", "stroke-opacity", "opacity", "clip-path", "mask", "filter", "stroke-dasharray",
        "marker-start", "marker-mid", "marker-end", "vector-effect",
    ];

    private SvgStyle With(string property, string value, SvgElement element, SvgContext context, double viewportDiagonal)
    {
        if (value == "inherit")
        {
            return this;
        }

        switch (property)
        {
            case "color": return this with { Colour = value };
            case "fill": return this with { Fill = Paint(value) };
            case "stroke": return this with { Stroke = Paint(value) };
            case "fill-rule": return this with { FillRule = value == "evenodd" ? FillRule.EvenOdd : FillRule.NonZero };
            case "stroke-width": return this with { StrokeWidth = NotNegative(value, property, element, context, viewportDiagonal) };
            case "stroke-linecap":
                return this with { StrokeEnd = value switch { "round" => StrokeEnd.Round, "square" => StrokeEnd.Square, _ => StrokeEnd.Flat } };
            case "stroke-linejoin":
                return this with { StrokeJoin = value switch { "round" => StrokeJoin.Round, "bevel" => StrokeJoin.Cut, _ => StrokeJoin.Mitre } };
            case "stroke-miterlimit":
                return this with { MitreLimit = Math.Max(1, NotNegative(value, property, element, context, viewportDiagonal)) };
            case "visibility": return this with { IsVisible = value == "visible" };
            case "display": return this with { IsDisplayed = value != "none" };
            case "transform": return this with { Transform = value };
            case "vector-effect": return this with { IsHairline = value == "non-scaling-stroke" };
            case "fill-opacity" when IsZero(value): return this with { Fill = "none" };
            case "stroke-opacity" when IsZero(value): return this with { Stroke = "none" };
            case "opacity" when IsZero(value): return this with { IsDisplayed = false };
            case "clip-path" or "mask" or "filter" or "stroke-dasharray" or "marker-start" or "marker-mid" or "marker-end" when value != "none":
                context.LeaveOut(element, property);
                return this;
            default: return this;
        }
    }

    private string Paint(string value)
    {
        string paint = value.Trim();
        return paint.Equals("currentcolor", StringComparison.OrdinalIgnoreCase) ? Colour : paint is "transparent" ? "none" : paint;
    }

    private static double NotNegative(string value, string property, SvgElement element, SvgContext context, double whole)
    {
        double length = SvgLength.ToUser(SvgLength.Parse(context, element, property, value), whole);
        return length >= 0
            ? length
            : throw context.Fault(SvgCodes.BadNumber, $"{property}=\"{SvgLength.Shorten(value)}\" is negative", element, "write a length of zero or more");
    }

    private static bool IsZero(string value) => Units.NumberText.TryParseReal(value.TrimEnd('%'), out double number) && number == 0;
}
