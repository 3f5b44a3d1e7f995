using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>Turns corners and sizes in units of the file into shapes on the grid.</summary>
/// <param name="bytes">The file, for messages.</param>
/// <param name="stepsPerUnit">Grid steps to one unit.</param>
internal sealed class OasisShapes(OasisBytes bytes, double stepsPerUnit, WorkLimits limits)
{
    // A record that leaves out its corners draws those of the record before once more: few bytes, many corners.
    private const long MostCorners = 16_000_000;
    private const long MostCornersPerByte = 64;

    private readonly RingStore rings = new();
    private long cornersDrawn;

    /// <summary>Outlines that wind around something twice.</summary>
    public SelfCrossings Crossings { get; } = new(limits);

    /// <summary>Where the record in hand stands in the file.</summary>
    public PlaceId Here { get; set; }

    /// <summary>What the places mean.</summary>
    public PlaceTable Places { get; } = new();

    /// <summary>Grid steps to one unit.</summary>
    public double StepsPerUnit => stepsPerUnit;

    /// <summary>An area between corners; null if it encloses none.</summary>
    public Shape? Polygon(int layer, OasisVector at, IReadOnlyList<OasisVector> corners)
    {
        Count(corners);
        var ring = new List<GridPoint>(corners.Count);
        foreach (OasisVector corner in corners)
        {
            GridPoint point = Point(at + corner);
            if (ring.Count == 0 || ring[^1] != point)
            {
                ring.Add(point);
            }
        }

        if (ring.Count > 1 && ring[0] == ring[^1])
        {
            ring.RemoveAt(ring.Count - 1);
        }

        if (ring.Count < 3)
        {
            return null;
        }

        Span<GridPoint> points = System.Runtime.InteropServices.CollectionsMarshal.AsSpan(ring);
        Crossings.See(points);
        return new PolygonShape(layer, DoseFactor.One, rings.Add(points), FillRule.NonZero) { Place = Here };
    }

    /// <summary>An upright rectangle; null if it has no area.</summary>
    public Shape? Rectangle(int layer, OasisVector at, long width, long height)
    {
        GridPoint a = Point(at);
        GridPoint b = Point(at + new OasisVector(width, height));
        return a.X < b.X && a.Y < b.Y ? new RectangleShape(layer, DoseFactor.One, a.X, a.Y, b.X, b.Y) { Place = Here } : null;
    }

    /// <summary>A filled circle; null if it is smaller than the grid.</summary>
    public Shape? Circle(int layer, OasisVector at, long radius)
    {
        GridPoint centre = Point(at);
        _ = Point(at + new OasisVector(radius, radius));
        _ = Point(at + new OasisVector(-radius, -radius));
        int steps = (int)Math.Round(stepsPerUnit * radius, MidpointRounding.AwayFromZero);
        return steps > 0 ? new CircleShape(layer, DoseFactor.One, centre, steps) { Place = Here } : null;
    }

    /// <summary>A path; null if it has no length.</summary>
    public Shape? Path(int layer, OasisVector at, IReadOnlyList<OasisVector> corners, long halfWidth, long startExtension, long endExtension)
    {
        Count(corners);
        var points = ImmutableArray.CreateBuilder<GridPoint>(corners.Count + 1);
        points.Add(Point(at));
        foreach (OasisVector corner in corners)
        {
            GridPoint point = Point(at + corner);
            if (point != points[^1])
            {
                points.Add(point);
            }
        }

        double width = 2 * stepsPerUnit * halfWidth;
        if (!(width <= GridPoint.Limit))
        {
            throw OutOfRange();
        }

        int steps = (int)Math.Round(width, MidpointRounding.AwayFromZero);
        if (points.Count == 1)
        {
            return null;
        }

        if (steps == 0)
        {
            return new LineShape(layer, DoseFactor.One, points.ToImmutable()) { Place = Here };
        }

        bool isSquare = halfWidth > 0 && startExtension == halfWidth && endExtension == halfWidth;
        if (!isSquare && !PathExtension.TryExtend(points, stepsPerUnit * startExtension, stepsPerUnit * endExtension, out bool isOnGrid))
        {
            return isOnGrid ? null : throw OutOfRange();
        }

        return new PathShape(layer, DoseFactor.One, points.ToImmutable(), steps, isSquare ? PathEnd.Square : PathEnd.Flat) { Place = Here };
    }

    /// <summary>A place on the grid.</summary>
    public GridPoint Point(OasisVector at)
    {
        PlanePoint point = Plane(at);
        return point.FitsGrid && point.ToGrid() is { IsInRange: true } rounded ? rounded : throw OutOfRange();
    }

    /// <summary>A place in grid steps, not rounded.</summary>
    public PlanePoint Plane(OasisVector at) => new(stepsPerUnit * at.X, stepsPerUnit * at.Y);

    /// <summary>The error of a place beyond the grid.</summary>
    public CompileException OutOfRange() => new(
        OasisCodes.OutOfRange, $"reaches beyond ±{GridPoint.Limit} grid steps", bytes.PlaceAt(bytes.Position), "choose a coarser grid, or move the drawing to the origin");

    private void Count(IReadOnlyList<OasisVector> corners)
    {
        cornersDrawn += corners.Count;
        if (cornersDrawn > MostCorners + (MostCornersPerByte * bytes.Position))
        {
            throw new CompileException(
                OasisCodes.TooMany, $"more than {MostCorners} corners, and than {MostCornersPerByte} for each byte of the file", bytes.PlaceAt(bytes.Position), "make shapes that recur a cell, and place that");
        }
    }
}
