using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Gdsii;

/// <summary>Turns elements into shapes and instances.</summary>
/// <param name="file">File name for messages.</param>
/// <param name="stepsPerUnit">Grid steps to one database unit.</param>
/// <param name="limits">How much may be written out.</param>
internal sealed class GdsiiShapes(string file, double stepsPerUnit, WorkLimits limits)
{
    // A whole number of steps needs no rounding; then coordinates are scaled as integers.
    private readonly int wholeSteps = stepsPerUnit == Math.Floor(stepsPerUnit) && stepsPerUnit <= 1 << 20 ? (int)stepsPerUnit : 0;

    private readonly RingStore rings = new();
    private readonly PlacementBudget placements = new(limits);
    private GridPoint[] corners = new GridPoint[64];

    /// <summary>A width or a transformation was marked as absolute.</summary>
    public bool SawAbsolute { get; private set; }

    /// <summary>Where the element in hand stands in the stream.</summary>
    public PlaceId Here { get; set; }

    /// <summary>Outlines that wind around something twice.</summary>
    public SelfCrossings Crossings { get; } = new(limits);

    /// <summary>Shape of a BOUNDARY, BOX or PATH on a layer; null if it has no area and no length, with the reason.</summary>
    public Shape? ShapeOf(GdsiiElement element, string cell, int layer, out string? reason)
    {
        reason = null;
        if (element.Kind == GdsiiRecordType.Path)
        {
            return PathOf(element, cell, layer, out reason);
        }

        ReadOnlySpan<int> c = element.Coordinates;
        int count = element.PointCount;
        if (count > 1 && c[0] == c[^2] && c[1] == c[^1])
        {
            count--;
        }

        if (count < 3)
        {
            reason = "fewer than three corners";
            return null;
        }

        if (count == 4 && IsUprightRectangle(c))
        {
            GridPoint a = Point(element, cell, 0);
            GridPoint b = Point(element, cell, 2);
            if (a.X == b.X || a.Y == b.Y)
            {
                reason = "encloses no area";
                return null;
            }

            return new RectangleShape(layer, DoseFactor.One, Math.Min(a.X, b.X), Math.Min(a.Y, b.Y), Math.Max(a.X, b.X), Math.Max(a.Y, b.Y)) { Place = Here };
        }

        if (corners.Length < count)
        {
            corners = new GridPoint[2 * count];
        }

        for (int i = 0; i < count; i++)
        {
            corners[i] = Point(element, cell, i);
        }

        Crossings.See(corners.AsSpan(0, count));
        return new PolygonShape(layer, DoseFactor.One, rings.Add(corners.AsSpan(0, count)), FillRule.NonZero) { Place = Here };
    }

    /// <summary>Instances of an SREF or AREF.</summary>
    public IEnumerable<Instance> InstancesOf(GdsiiElement element, string cell)
    {
        bool isArray = element.Kind == GdsiiRecordType.ArrayReference;
        if (string.IsNullOrEmpty(element.PlacedName))
        {
            throw Bad(element, cell, "a reference needs the name of a cell");
        }

        if (element.PointCount != (isArray ? 3 : 1))
        {
            throw Bad(element, cell, $"a reference with {CountText.Of(element.PointCount, "point", "points")}; {(isArray ? "an array has 3" : "a single one has 1")}");
        }

        if (!(element.Magnification > 0) || !double.IsFinite(element.Magnification))
        {
            throw Bad(element, cell, $"a magnification of {NumberText.Format(element.Magnification)}; it must be above zero");
        }

        if (element.Columns < 1 || element.Rows < 1)
        {
            throw Bad(element, cell, $"an array of {element.Columns} columns and {element.Rows} rows");
        }

        SawAbsolute |= element.IsAbsolute;
        ReadOnlySpan<int> c = element.Coordinates;
        PlanePoint origin = stepsPerUnit * new PlanePoint(c[0], c[1]);

        // The second and third point lie one step beyond the last column and row: their distance divides by the count.
        PlanePoint columns = isArray ? stepsPerUnit / element.Columns * new PlanePoint((double)c[2] - c[0], (double)c[3] - c[1]) : default;
        PlanePoint rows = isArray ? stepsPerUnit / element.Rows * new PlanePoint((double)c[4] - c[0], (double)c[5] - c[1]) : default;
        var steps = new ArraySteps(origin, element.Columns, element.Rows, columns, rows);
        if (!steps.FitsGrid)
        {
            throw OutOfRange(element, cell);
        }

        if (!placements.TryTake(steps))
        {
            throw Bad(element, cell,
                placements.Fault(element.Columns, element.Rows));
        }

        var orientation = new Orientation(element.Angle, element.Magnification, element.IsReflected ? -element.Magnification : element.Magnification);
        string name = element.PlacedName;
        PlaceId here = Here;
        return steps.Placements().Select(p => new Instance(name, p.Origin, orientation, p.Repetition, DoseFactor.One) { Place = here, Element = p.Element });
    }

    private LineOrTrack? TrackOf(GdsiiElement element, string cell)
    {
        var points = ImmutableArray.CreateBuilder<GridPoint>(element.PointCount);
        for (int i = 0; i < element.PointCount; i++)
        {
            GridPoint point = Point(element, cell, i);
            if (points.Count == 0 || points[^1] != point)
            {
                points.Add(point);
            }
        }

        double width = stepsPerUnit * Math.Abs((double)element.Width);
        if (!(width <= GridPoint.Limit))
        {
            throw OutOfRange(element, cell);
        }

        return points.Count == 0 ? null : new LineOrTrack(points, (int)Math.Round(width, MidpointRounding.AwayFromZero));
    }

    private Shape? PathOf(GdsiiElement element, string cell, int layer, out string? reason)
    {
        reason = null;
        SawAbsolute |= element.Width < 0;
        if (TrackOf(element, cell) is not { } track)
        {
            reason = "no points";
            return null;
        }

        if (track.Points.Count == 1)
        {
            return PointTrack(element, track, layer, out reason);
        }

        if (track.Width == 0)
        {
            return new LineShape(layer, DoseFactor.One, track.Points.ToImmutable()) { Place = Here };
        }

        PathEnd end = element.PathType switch
        {
            0 or 4 => PathEnd.Flat,
            1 => PathEnd.Round,
            2 => PathEnd.Square,
            _ => throw Bad(element, cell, $"a path of type {element.PathType}; there are 0, 1, 2 and 4"),
        };
        if (element.PathType == 4
            && !PathExtension.TryExtend(track.Points, stepsPerUnit * element.BeginExtension, stepsPerUnit * element.EndExtension, out bool isOnGrid))
        {
            return isOnGrid ? Nothing("no length", out reason) : throw OutOfRange(element, cell);
        }

        return new PathShape(layer, DoseFactor.One, track.Points.ToImmutable(), track.Width, end) { Place = Here };
    }

    // A path of one point has no direction; with round ends it is a disc, with square ones a square. A disc of no size is a dot.
    private Shape? PointTrack(GdsiiElement element, LineOrTrack track, int layer, out string? reason)
    {
        GridPoint at = track.Points[0];
        int half = track.Width / 2;
        reason = null;
        return (half, element.PathType) switch
        {
            (_, 1) when track.Width == 0 => new DotShape(layer, DoseFactor.One, at) { Place = Here },
            ( > 0, 1) => new CircleShape(layer, DoseFactor.One, at, half) { Place = Here },
            ( > 0, 2) when new GridPoint(at.X - half, at.Y - half).IsInRange && new GridPoint(at.X + half, at.Y + half).IsInRange =>
                new RectangleShape(layer, DoseFactor.One, at.X - half, at.Y - half, at.X + half, at.Y + half) { Place = Here },
            _ => Nothing("no length", out reason),
        };
    }

    private static Shape? Nothing(string why, out string? reason)
    {
        reason = why;
        return null;
    }

    private GridPoint Point(GdsiiElement element, string cell, int index)
    {
        int x = element.Coordinates[2 * index];
        int y = element.Coordinates[(2 * index) + 1];
        if (wholeSteps > 0)
        {
            long scaledX = (long)x * wholeSteps;
            long scaledY = (long)y * wholeSteps;
            return scaledX is >= -GridPoint.Limit and <= GridPoint.Limit && scaledY is >= -GridPoint.Limit and <= GridPoint.Limit
                ? new((int)scaledX, (int)scaledY)
                : throw OutOfRange(element, cell);
        }

        PlanePoint point = stepsPerUnit * new PlanePoint(x, y);
        return point.FitsGrid ? point.ToGrid() : throw OutOfRange(element, cell);
    }

    private static bool IsUprightRectangle(ReadOnlySpan<int> c) =>
        (c[0] == c[2] && c[3] == c[5] && c[4] == c[6] && c[7] == c[1])
        || (c[1] == c[3] && c[2] == c[4] && c[5] == c[7] && c[6] == c[0]);

    private CompileException Bad(GdsiiElement element, string cell, string message) =>
        new(GdsiiCodes.BadElement, message, Place(element, cell), "correct it in the drawing program and export again");

    private CompileException OutOfRange(GdsiiElement element, string cell) =>
        new(GdsiiCodes.OutOfRange, $"reaches beyond ±{GridPoint.Limit} grid steps", Place(element, cell),
            "choose a coarser grid, or move the drawing to the origin");

    private SourcePlace Place(GdsiiElement element, string cell) =>
        new(file, 0, 0, $"{element.Kind} in cell {cell}, byte {element.Position}");

    private sealed record LineOrTrack(ImmutableArray<GridPoint>.Builder Points, int Width);
}
