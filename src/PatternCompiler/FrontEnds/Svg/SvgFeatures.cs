using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Svg.Styles;
using PatternCompiler.FrontEnds.Svg.Syntax;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>What of SVG is not read: elements that draw nothing, elements that are lost, features that are refused.</summary>
internal static class SvgFeatures
{
    /// <summary>Elements that a viewer does not draw where they stand either.</summary>
    public static bool IsWithoutPicture(string name) => name is "defs" or "symbol" or "title" or "desc" or "metadata" or "style"
        or "linearGradient" or "radialGradient" or "pattern" or "clipPath" or "mask" or "marker" or "filter" or "view" or "stop" or "cursor" or "font" or "font-face" or "solidcolor";

    /// <summary>Elements that a viewer shows.</summary>
    public static bool IsLost(string name) => name is "text" or "image" or "foreignObject" or "video" or "audio" or "canvas" or "iframe"
        or "flowRoot" or "mesh" or "unknown";

    /// <summary>Elements that change others while time goes by.</summary>
    public static bool IsAnimation(string name) => name is "animate" or "set" or "animateTransform" or "animateMotion" or "animateColor" or "discard";

    /// <summary>Refuses an element with an effect that is not read.</summary>
    public static void RequireRead(SvgContext context, SvgElement element, SvgStyle style)
    {
        foreach (string property in SvgProperties.NotRead)
        {
            string initial = SvgProperties.At(SvgProperties.IndexOf(property)).Initial;
            if (style.Word(property) is var word && word != initial && word != "normal")
            {
                throw Fault(context, element, style, property);
            }
        }
    }

    /// <summary>Refuses an outline with marks on it, and a stroke with gaps.</summary>
    public static void RequireReadStroke(SvgContext context, SvgElement element, SvgStyle style, bool isStroked)
    {
        string dashes = style.Word("stroke-dasharray");
        if (isStroked && dashes != "none" && dashes.AsSpan().ContainsAnyInRange('1', '9'))
        {
            throw Fault(context, element, style, "stroke-dasharray");
        }

        if (element.Name is "path" or "line" or "polyline" or "polygon"
            && Array.Find(["marker-start", "marker-mid", "marker-end"], property => style.Word(property) != "none") is string marker)
        {
            throw Fault(context, element, style, marker);
        }
    }

    private static Diagnostics.CompileException Fault(SvgContext context, SvgElement element, SvgStyle style, string property) => context.Fault(
        SvgCodes.NotRead,
        $"{property}=\"{SvgLength.Shorten(style.Text(property))}\" is not read",
        element,
        "turn what it makes into plain paths in the drawing program");
}
