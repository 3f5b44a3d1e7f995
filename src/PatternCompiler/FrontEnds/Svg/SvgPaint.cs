using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Svg.Styles;
using PatternCompiler.FrontEnds.Svg.Syntax;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>Reads what a fill or a stroke is painted with (SVG 2, 13.2).</summary>
internal sealed class SvgPaint(SvgContext context, SvgTree tree, SvgStyleSheet sheet)
{
    private const int LongestChain = 64;

    /// <summary>A colour with its opacity; null for none.</summary>
    /// <param name="element">Element that is painted.</param>
    /// <param name="style">Its style.</param>
    /// <param name="property"><c>fill</c> or <c>stroke</c>.</param>
    public SvgColour? Of(SvgElement element, SvgStyle style, string property)
    {
        string paint = style.Paint(property);
        if (paint.Equals("none", StringComparison.OrdinalIgnoreCase))
        {
            return null;
        }

        SvgColour colour = paint.StartsWith("url(", StringComparison.OrdinalIgnoreCase)
            ? OfServer(element, property, paint)
            : SvgColour.Read(paint) ?? throw NotRead(element, property, paint, "is no colour", "write a colour of CSS, for example #000000");
        return colour with { Opacity = colour.Opacity * style.Opacity(context, element, property + "-opacity") };
    }

    // A gradient paints the whole area. Where one of its colours is partly transparent, its shape would be another one.
    private SvgColour OfServer(SvgElement element, string property, string paint)
    {
        int close = paint.IndexOf(')', StringComparison.Ordinal);
        string reference = close < 0 ? "" : paint[4..close].Trim().Trim('"', '\'');
        SvgElement? server = reference.StartsWith('#') ? tree.Find(reference[1..]) : null;
        if (server?.Name is not ("linearGradient" or "radialGradient"))
        {
            throw server is null
                ? context.Fault(SvgCodes.MissingReference, $"{property}=\"{SvgLength.Shorten(paint)}\" leads to no element of this file", element, "name a colour or a gradient of this file")
                : NotRead(element, property, paint, $"is a '{server.Name}', which is not read", "fill with a colour, and draw the pattern itself");
        }

        SvgElement holder = server;
        for (int i = 0; !holder.Children.Exists(IsStop); i++)
        {
            SvgElement? next = holder.Link is { } link && link.StartsWith('#') && i < LongestChain ? tree.Find(link[1..]) : null;
            holder = next ?? throw NotRead(element, property, paint, "is a gradient without colours", "fill with a colour");
        }

        foreach (SvgElement stop in holder.Children.Where(IsStop))
        {
            if (!IsOpaque(stop))
            {
                throw NotRead(element, property, paint, "is a gradient that is transparent in part", "fill with a colour");
            }
        }

        return new(paint.ToLowerInvariant(), 1);
    }

    private static bool IsStop(SvgElement element) => element.Name == "stop" && !element.IsForeign;

    private bool IsOpaque(SvgElement stop)
    {
        // Gradients stay where they are when what they paint is copied.
        SvgElement? copied = sheet.Copied;
        sheet.Copied = null;
        SvgStyle style = SvgStyle.Initial.For(context, stop, SvgCascade.Of(context, stop, sheet));
        sheet.Copied = copied;
        string colour = style.Text("stop-color");

        // What 'currentColor' is here depends on the elements around the gradient.
        return style.Opacity(context, stop, "stop-opacity") == 1 && SvgColour.Read(colour) is { Opacity: 1 };
    }

    private Diagnostics.CompileException NotRead(SvgElement element, string property, string paint, string why, string fix) =>
        context.Fault(SvgCodes.NotRead, $"{property}=\"{SvgLength.Shorten(paint)}\" {why}", element, fix);
}
