using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Svg.Syntax;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>Outlines of the basic shapes (SVG 2, chapter 10), as the standard writes them as paths.</summary>
internal static class SvgBasicShapes
{
    /// <summary>True for the elements that draw.</summary>
    public static bool IsShape(string name) => name is "path" or "rect" or "circle" or "ellipse" or "line" or "polyline" or "polygon";

    /// <summary>The outline of an element, in user units; empty if it is not drawn.</summary>
    public static List<SvgSubpath> Outline(SvgContext context, SvgElement element, SvgViewport viewport) => element.Name switch
    {
        "path" => SvgPathData.Parse(context, element, element.Get("d") ?? ""),
        "rect" => Rectangle(context, element, viewport),
        "circle" or "ellipse" => Ellipse(context, element, viewport),
        "line" =>
        [
            Polyline(
                [
                    new(SvgLength.Read(context, element, "x1", viewport.Width), SvgLength.Read(context, element, "y1", viewport.Height)),
                    new(SvgLength.Read(context, element, "x2", viewport.Width), SvgLength.Read(context, element, "y2", viewport.Height)),
                ],
                isClosed: false),
        ],
        _ => Points(context, element) is { Count: > 0 } points ? [Polyline(points, element.Name == "polygon")] : [],
    };

    private static List<SvgSubpath> Rectangle(SvgContext context, SvgElement element, SvgViewport viewport)
    {
        double x = SvgLength.Read(context, element, "x", viewport.Width);
        double y = SvgLength.Read(context, element, "y", viewport.Height);
        double width = SvgLength.Read(context, element, "width", viewport.Width);
        double height = SvgLength.Read(context, element, "height", viewport.Height);
        if (width <= 0 || height <= 0)
        {
            return [];
        }

        double rx = SvgLength.Read(context, element, "rx", viewport.Width, double.NaN);
        double ry = SvgLength.Read(context, element, "ry", viewport.Height, double.NaN);
        (rx, ry) = (double.IsNaN(rx) ? ry : rx, double.IsNaN(ry) ? rx : ry);
        (rx, ry) = (Math.Min(rx, width / 2), Math.Min(ry, height / 2));
        if (!(rx > 0 && ry > 0))
        {
            return [Polyline([new(x, y), new(x + width, y), new(x + width, y + height), new(x, y + height)], isClosed: true)];
        }

        var path = new SvgSubpath(new(x + rx, y)) { IsClosed = true };
        double right = x + width;
        double bottom = y + height;
        path.Segments.Add(new SvgBezier(new PlanePoint(right - rx, y)));
        path.Segments.Add(Corner(new(right - rx, y + ry), rx, ry, -1, new(right, y + ry)));
        path.Segments.Add(new SvgBezier(new PlanePoint(right, bottom - ry)));
        path.Segments.Add(Corner(new(right - rx, bottom - ry), rx, ry, 0, new(right - rx, bottom)));
        path.Segments.Add(new SvgBezier(new PlanePoint(x + rx, bottom)));
        path.Segments.Add(Corner(new(x + rx, bottom - ry), rx, ry, 1, new(x, bottom - ry)));
        path.Segments.Add(new SvgBezier(new PlanePoint(x, y + ry)));
        path.Segments.Add(Corner(new(x + rx, y + ry), rx, ry, 2, new(x + rx, y)));
        return [path];
    }

    private static SvgArc Corner(PlanePoint centre, double rx, double ry, int quarter, PlanePoint end) =>
        new(centre, new(rx, 0), new(0, ry), quarter * (Math.PI / 2), Math.PI / 2, end);

    private static List<SvgSubpath> Ellipse(SvgContext context, SvgElement element, SvgViewport viewport)
    {
        PlanePoint centre = new(SvgLength.Read(context, element, "cx", viewport.Width), SvgLength.Read(context, element, "cy", viewport.Height));
        double rx;
        double ry;
        if (element.Name == "circle")
        {
            rx = ry = SvgLength.Read(context, element, "r", viewport.Diagonal);
        }
        else
        {
            rx = SvgLength.Read(context, element, "rx", viewport.Width, double.NaN);
            ry = SvgLength.Read(context, element, "ry", viewport.Height, double.NaN);
            (rx, ry) = (double.IsNaN(rx) ? ry : rx, double.IsNaN(ry) ? rx : ry);
        }

        if (!(rx > 0 && ry > 0))
        {
            return [];
        }

        PlanePoint start = centre + new PlanePoint(rx, 0);
        var path = new SvgSubpath(start) { IsClosed = true };
        path.Segments.Add(new SvgArc(centre, new(rx, 0), new(0, ry), 0, 2 * Math.PI, start));
        return [path];
    }

    private static List<PlanePoint> Points(SvgContext context, SvgElement element)
    {
        string text = element.Get("points") ?? "";
        var scanner = new SvgScanner(text);
        var points = new List<PlanePoint>();
        while (!scanner.AtEnd)
        {
            if (!scanner.TryTakeNumber(out double x))
            {
                throw Fault(context, element, scanner);
            }

            scanner.SkipSeparator();
            if (!scanner.TryTakeNumber(out double y))
            {
                throw Fault(context, element, scanner);
            }

            scanner.SkipSeparator();
            points.Add(new(x, y));
        }

        return points;
    }

    private static CompileException Fault(SvgContext context, SvgElement element, SvgScanner scanner) => context.Fault(
        SvgCodes.BadNumber,
        $"points are wrong at character {scanner.Position + 1}: expected a number, found {scanner.Excerpt()}",
        element,
        "points are pairs of numbers");

    private static SvgSubpath Polyline(List<PlanePoint> points, bool isClosed)
    {
        var path = new SvgSubpath(points[0]) { IsClosed = isClosed };
        path.Segments.AddRange(points.Skip(1).Select(point => new SvgBezier(point)));
        return path;
    }
}
