using System.Globalization;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Svg.Syntax;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>
/// Where the drawing's outermost coordinate system lies on the layout: its physical size, and y turned upward. The page stays
/// on the rectangle that its view box states: one that starts at 0, or states none, has its lower left corner at the origin,
/// one about 0 its middle.
/// </summary>
/// <param name="Viewport">What percentages refer to.</param>
/// <param name="Map">From user units to grid steps.</param>
/// <param name="Frame">Lower left and upper right corner of the page in grid steps, or null if it has no size.</param>
/// <param name="Size">The page's size in words.</param>
/// <param name="IsAssumed">True if the file states no physical length.</param>
internal sealed record SvgPage(SvgViewport Viewport, Affine Map, (PlanePoint Low, PlanePoint High)? Frame, string Size, bool IsAssumed)
{
    private const double InchNanometres = 25_400_000;

    /// <summary>Works out the page of a drawing.</summary>
    public static SvgPage Of(SvgContext context, SvgElement root, DrawingOptions options)
    {
        var box = SvgViewport.ViewBox(context, root);
        (double? width, bool isPhysicalWidth) = Nanometres(context, root, "width");
        (double? height, bool isPhysicalHeight) = Nanometres(context, root, "height");
        bool isAssumed = !isPhysicalWidth && !isPhysicalHeight && options.UnitNanometres is null;
        double unit = options.UnitNanometres ?? InchNanometres / 96;
        if (options.UnitNanometres is not null)
        {
            // The stated unit overrules the size of the page.
            (width, height) = box is var (_, _, w, h) ? (w * unit, h * unit) : (ToUnits(width) * unit, ToUnits(height) * unit);
        }
        else if (box is var (_, _, w, h))
        {
            (width, height) = (width ?? (height * w / h) ?? (w * unit), height ?? (width * h / w) ?? (h * unit));
        }

        Affine fit = box is { } viewBox
            ? SvgViewport.Fit(viewBox, width!.Value, height!.Value, SvgViewport.Aspect(context, root))
            : new Affine(unit, 0, 0, unit, 0, 0);
        double steps = 1000.0 / options.GridPicometres;
        (double left, double bottom) = box is var (boxX, boxY, _, _) ? (fit.XX * boxX, fit.YY * boxY) : (0, 0);
        var flip = new Affine(steps, 0, 0, -steps, steps * left, steps * (bottom + (height ?? 0)));
        var viewport = box is { } whole ? new SvgViewport(whole.Width, whole.Height) : new SvgViewport((width ?? 0) / unit, (height ?? 0) / unit);
        string size = width is double x && height is double y ? $"{Micrometres(x)} x {Micrometres(y)} um" : "of no stated size";
        (PlanePoint, PlanePoint)? frame = width is double across && height is double up
            ? (flip.Map(new PlanePoint(0, up)) - new PlanePoint(1, 1), flip.Map(new PlanePoint(across, 0)) + new PlanePoint(1, 1))
            : null;
        return new(viewport, flip.After(fit), frame, size, isAssumed);
    }

    private static double? ToUnits(double? nanometres) => nanometres / (InchNanometres / 96);

    private static string Micrometres(double nanometres) => (nanometres / 1000).ToString("0.######", CultureInfo.InvariantCulture);

    private static (double? Nanometres, bool IsPhysical) Nanometres(SvgContext context, SvgElement root, string attribute)
    {
        if (root.Get(attribute) is not string text || text is "auto")
        {
            return (null, false);
        }

        SvgLength.Written length = SvgLength.Parse(context, root, attribute, text);
        if (length.Unit == "%")
        {
            return (null, false);
        }

        double nanometres = length.Unit switch
        {
            "mm" => length.Number * 1e6,
            "cm" => length.Number * 1e7,
            "in" => length.Number * InchNanometres,
            "pt" => length.Number * InchNanometres / 72,
            "pc" => length.Number * InchNanometres / 6,
            "Q" => length.Number * 250_000,
            _ => length.Number * InchNanometres / 96,
        };
        return nanometres > 0 ? (nanometres, length.IsPhysical) : (null, false);
    }
}
