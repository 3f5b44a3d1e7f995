using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Lettering;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Generate;

/// <summary>
/// The sheet that a test pattern is drawn on: one cell, shapes on the layers "pattern" and "labels", coordinates in grid
/// steps about the field's centre.
/// </summary>
internal sealed class PatternDrawing
{
    private const int PatternLayer = 0;
    private const int LabelLayer = 1;

    /// <summary>A label's stroke is this part of its cap height.</summary>
    private const int LabelHeightPerStroke = 8;

    private readonly string name;
    private readonly long gridPicometres;
    private readonly ImmutableArray<Shape>.Builder shapes = ImmutableArray.CreateBuilder<Shape>();
    private readonly List<string> readings = [];

    internal PatternDrawing(string name, long gridPicometres)
    {
        this.name = name;
        this.gridPicometres = gridPicometres;
    }

    /// <summary>Grid steps for a length given in nanometres by the pattern's own design.</summary>
    public int Nanometres(double length) => (int)Math.Round(length * 1000 / gridPicometres, MidpointRounding.AwayFromZero);

    /// <summary>Length in nanometres of some grid steps; for labels.</summary>
    public double ToNanometres(long steps) => steps * gridPicometres / 1000.0;

    /// <summary>A length in nanometres for a label, to a tenth.</summary>
    public string NanometreText(long steps) => NumberText.Format(Math.Round(ToNanometres(steps), 1, MidpointRounding.AwayFromZero));

    /// <summary>An upright rectangle.</summary>
    public void Rectangle(long xLeft, long yBottom, long xRight, long yTop, DoseFactor? dose = null)
    {
        GridPoint low = Point(xLeft, yBottom);
        GridPoint high = Point(xRight, yTop);
        if (low.X < high.X && low.Y < high.Y)
        {
            shapes.Add(new RectangleShape(PatternLayer, dose ?? DoseFactor.One, low.X, low.Y, high.X, high.Y));
        }
    }

    /// <summary>A polygon; corners in order.</summary>
    public void Polygon(IEnumerable<(double X, double Y)> corners, DoseFactor? dose = null)
    {
        GridPoint[] ring = [.. corners.Select(c => Point(Round(c.X), Round(c.Y)))];
        shapes.Add(new PolygonShape(PatternLayer, dose ?? DoseFactor.One, ContourSet.FromRing(ring), FillRule.NonZero));
    }

    /// <summary>The area between two circles; a full disc if the inner radius is 0.</summary>
    public void Ring(long x, long y, long innerRadius, long outerRadius, DoseFactor? dose = null)
    {
        GridPoint centre = Point(x, y);
        if (innerRadius == 0)
        {
            shapes.Add(new CircleShape(PatternLayer, dose ?? DoseFactor.One, centre, (int)outerRadius));
        }
        else if (innerRadius < outerRadius)
        {
            shapes.Add(new RingShape(PatternLayer, dose ?? DoseFactor.One, centre, (int)innerRadius, (int)outerRadius));
        }
    }

    /// <summary>A line without width.</summary>
    public void Line(long x0, long y0, long x1, long y1, DoseFactor? dose = null) =>
        shapes.Add(new LineShape(PatternLayer, dose ?? DoseFactor.One, [Point(x0, y0), Point(x1, y1)]));

    /// <summary>A dot.</summary>
    public void Dot(long x, long y, DoseFactor? dose = null) =>
        shapes.Add(new DotShape(PatternLayer, dose ?? DoseFactor.One, Point(x, y)));

    /// <summary>A cross of two bars.</summary>
    public void Cross(long x, long y, long arm, long width)
    {
        // Three rectangles instead of two, so that the middle is not drawn twice.
        long half = width / 2;
        Rectangle(x - arm, y - half, x + arm, y + half);
        Rectangle(x - half, y + half, x + half, y + arm);
        Rectangle(x - half, y - arm, x + half, y - half);
    }

    /// <summary>Text in stroke letters, centred on x, its baseline at y.</summary>
    public void Label(string text, long x, long y, int capHeight)
    {
        long width = (long)StrokeLettering.MeasureWidth(text) * capHeight / StrokeLettering.CapHeight;
        int stroke = Math.Max(1, capHeight / LabelHeightPerStroke);
        foreach (ImmutableArray<GridPoint> polyline in StrokeLettering.Layout(text, Point(x - width / 2, y), capHeight))
        {
            shapes.Add(new PathShape(LabelLayer, DoseFactor.One, polyline, stroke, PathEnd.Round));
        }
    }

    /// <summary>A row of the table to fill in; cells as in the pattern's columns.</summary>
    public void Reading(params ReadOnlySpan<string> cells) => readings.Add(string.Join(',', cells));

    /// <summary>Middle of two grid steps in micrometres, for the table.</summary>
    public string MicrometreText(long low, long high) => NumberText.Format((low + high) / 2.0 * gridPicometres / 1e6);

    /// <summary>Refuses parameters that contradict each other.</summary>
    public static void Require(bool holds, string message, string fix)
    {
        if (!holds)
        {
            throw new CompileException(GenerateCodes.Contradiction, message, fix: fix);
        }
    }

    /// <summary>Rows of the table to fill in.</summary>
    internal IReadOnlyList<string> Readings => readings;

    internal LayoutDocument ToLayout() =>
        new(gridPicometres, shapes.Any(shape => shape.Layer == LabelLayer) ? ["pattern", "labels"] : ["pattern"], [new Cell(name, shapes.ToImmutable(), [])], name);

    private static long Round(double value) => (long)Math.Round(value, MidpointRounding.AwayFromZero);

    private static GridPoint Point(long x, long y)
    {
        Require(
            Math.Abs(x) <= GridPoint.Limit && Math.Abs(y) <= GridPoint.Limit,
            "the pattern is larger than the grid can hold",
            "use fewer or smaller parts");
        return new GridPoint((int)x, (int)y);
    }
}
