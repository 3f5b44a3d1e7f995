using System.Collections.Immutable;
using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Dxf.Curves;
using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>Turns the entities of one cell into shapes, and its loose lines and arcs into outlines.</summary>
internal sealed class ShapeLowering
{
    private readonly LoweringContext context;
    private readonly Placement placement;
    private readonly ImmutableArray<Shape>.Builder shapes = ImmutableArray.CreateBuilder<Shape>();
    private readonly SortedDictionary<int, List<ChainPiece>> loose = [];
    private readonly SortedDictionary<int, (ContourSetBuilder Rings, List<PlaceId> Places)> nested = [];
    private readonly OutlineNesting? nesting;
    private readonly List<PlanePoint> curve = [];
    private readonly List<GridPoint> points = [];

    public ShapeLowering(LoweringContext context, Placement placement)
    {
        this.context = context;
        this.placement = placement;
        nesting = context.Options.NestedOutlines is null ? new OutlineNesting() : null;
    }

    /// <summary>Adds an entity on a layer of the layout.</summary>
    public void Add(DxfEntity entity, int layer)
    {
        switch (entity)
        {
            case CircleEntity circle:
                AddCircle(circle, layer);
                break;
            case DotEntity dot:
                shapes.Add(new DotShape(layer, DoseFactor.One, ToGrid(placement.Apply(dot.Position), dot.Origin)) { Place = context.PlaceOf(dot.Origin) });
                break;
            case OutlineEntity outline:
                AddOutline(outline, layer);
                break;
            case TaperedEntity track:
                AddTapered(track, layer);
                break;
            case RegionEntity region:
                AddRegion(region, layer);
                break;
            case LetteringEntity lettering:
                AddLettering(lettering, layer);
                break;
            default:
                throw new InvalidOperationException($"{entity.GetType().Name} has no shape.");
        }
    }

    /// <summary>Joins what is loose and gives all shapes of the cell.</summary>
    public ImmutableArray<Shape> Finish()
    {
        foreach ((int layer, List<ChainPiece> pieces) in loose)
        {
            int gap = context.JoinGap;
            ChainResult result = ChainJoiner.Join(pieces, gap, Math.Max(gap, ChainReport.NearMissReach(context)));
            ChainReport.Report(result, context, placement, context.Layers.Names[layer]);
            foreach ((GridPoint[] ring, EntityOrigin origin) in result.Closed)
            {
                AddArea(ring, layer, origin);
            }

            foreach (OpenChain chain in result.Open)
            {
                shapes.Add(new LineShape(layer, DoseFactor.One, [.. chain.Points]) { Place = context.PlaceOf(chain.Start) });
            }
        }

        foreach ((int layer, (ContourSetBuilder rings, List<PlaceId> places)) in nested)
        {
            shapes.Add(new PolygonShape(layer, DoseFactor.One, rings.ToContourSet(), FillRule.EvenOdd) { Place = context.Places.Fuse([.. places]) });
        }

        context.Nested ??= nesting?.Find();

        return shapes.DrainToImmutable();
    }

    private void AddCircle(CircleEntity circle, int layer)
    {
        GridPoint centre = ToGrid(placement.Apply(circle.Centre), circle.Origin);
        double radius = placement.StepsPerUnit * circle.Radius;
        _ = ToGrid(new(Math.Abs((double)centre.X) + radius, Math.Abs((double)centre.Y) + radius), circle.Origin);
        int steps = (int)Math.Round(radius, MidpointRounding.AwayFromZero);
        if (steps == 0)
        {
            context.Ignored.Lose(circle.Origin, "smaller than the grid");
            return;
        }

        if (context.Options.NestedOutlines is NestedOutlines.Holes)
        {
            ArcFlattening.AddCircle(NextRing(layer, circle.Origin), PlanePoint.From(centre), steps, context.ChordError);
        }
        else
        {
            AddClosed(new CircleShape(layer, DoseFactor.One, centre, steps) { Place = context.PlaceOf(circle.Origin) }, circle.Origin);
        }
    }

    private void AddArea(GridPoint[] ring, int layer, in EntityOrigin origin)
    {
        if (context.Options.NestedOutlines is NestedOutlines.Holes)
        {
            NextRing(layer, origin).AddRing(ring);
        }
        else
        {
            context.Crossings.See(ring);
            PlaceId place = context.PlaceOf(origin);
            AddClosed(
                UprightRectangle(ring, layer, place) ?? (Shape)new PolygonShape(layer, DoseFactor.One, context.Rings.Add(ring), FillRule.NonZero) { Place = place },
                origin);
        }
    }

    private void AddClosed(Shape outline, in EntityOrigin origin)
    {
        shapes.Add(outline);
        nesting?.Add(outline, origin);
    }

    // Most areas of most drawings are upright rectangles; the layout has a compact form for them.
    private static RectangleShape? UprightRectangle(GridPoint[] ring, int layer, PlaceId place)
    {
        if (ring.Length != 4)
        {
            return null;
        }

        (GridPoint a, GridPoint b, GridPoint c, GridPoint d) = (ring[0], ring[1], ring[2], ring[3]);
        bool isUpright = (a.X == b.X && b.Y == c.Y && c.X == d.X && d.Y == a.Y) || (a.Y == b.Y && b.X == c.X && c.Y == d.Y && d.X == a.X);
        return isUpright && a.X != c.X && a.Y != c.Y
            ? new RectangleShape(layer, DoseFactor.One, Math.Min(a.X, c.X), Math.Min(a.Y, c.Y), Math.Max(a.X, c.X), Math.Max(a.Y, c.Y)) { Place = place }
            : null;
    }

    // The next ring of the one polygon that all closed outlines of a layer make.
    private ContourSetBuilder NextRing(int layer, in EntityOrigin origin)
    {
        if (!nested.TryGetValue(layer, out (ContourSetBuilder Rings, List<PlaceId> Places) outlines))
        {
            nested.Add(layer, outlines = (new(), []));
        }

        outlines.Places.Add(context.PlaceOf(origin));
        return outlines.Rings;
    }

    private void AddTapered(TaperedEntity track, int layer)
    {
        foreach (List<PlanePoint> ring in TaperedTrack.Outlines(track, placement, context.ChordError) ?? throw OutOfRange(null, track.Origin))
        {
            var rings = new ContourSetBuilder();
            AddRing(rings, ring, track.Origin);
            if (rings.ToContourSet() is { Count: > 0 } contours)
            {
                shapes.Add(new PolygonShape(layer, DoseFactor.One, contours, FillRule.NonZero) { Place = context.PlaceOf(track.Origin) });
            }
        }
    }

    private void AddRegion(RegionEntity region, int layer)
    {
        ContourSet contours = RegionLowering.ToContours(
            region,
            c =>
            {
                Flatten(c, region.Origin);
                return [.. points];
            },
            context.JoinGap,
            out int openLoops);
        if (openLoops > 0)
        {
            context.Sink.Warn(DxfCodes.NearMiss,
                $"{CountText.Of(openLoops, "loop of the boundary has", "loops of the boundary have")} a gap wider than the joining gap; closed by a straight line",
                region.Origin.Place(context.File), "check the boundary in the drawing");
        }

        if (contours.Count == 0)
        {
            context.Ignored.Lose(region.Origin, "encloses no area");
            return;
        }

        shapes.Add(new PolygonShape(layer, DoseFactor.One, contours, region.Rule) { Place = context.PlaceOf(region.Origin) });
    }

    private void AddLettering(LetteringEntity lettering, int layer)
    {
        foreach (PlanePoint[] stroke in lettering.Strokes)
        {
            curve.Clear();
            curve.AddRange(stroke.Select(p => placement.Apply(p)));
            RoundCurve(lettering.Origin);
            if (points.Count >= 2)
            {
                shapes.Add(new LineShape(layer, DoseFactor.One, [.. points]) { Place = context.PlaceOf(lettering.Origin) });
            }
        }
    }

    private void AddOutline(OutlineEntity outline, int layer)
    {
        Flatten(outline.Curve, outline.Origin);
        if (outline.Width > 0)
        {
            AddTrack(outline, layer);
        }
        else if (outline.IsLine)
        {
            if (outline.Curve.IsClosed || points.Count == 1)
            {
                points.Add(points[0]);
            }

            shapes.Add(new LineShape(layer, DoseFactor.One, [.. points]) { Place = context.PlaceOf(outline.Origin) });
        }
        else if (outline.Curve.IsClosed)
        {
            if (points.Count > 1 && points[0] == points[^1])
            {
                points.RemoveAt(points.Count - 1);
            }

            if (points.Count < 3)
            {
                context.Ignored.Lose(outline.Origin, "encloses no area");
                return;
            }

            AddArea([.. points], layer, outline.Origin);
        }
        else
        {
            GridPoint[] piece = points.Count == 1 ? [points[0], points[0]] : [.. points];
            if (!loose.TryGetValue(layer, out List<ChainPiece>? pieces))
            {
                loose.Add(layer, pieces = []);
            }

            pieces.Add(new(piece, outline.Origin));
        }
    }

    private void AddTrack(OutlineEntity outline, int layer)
    {
        double width = placement.StepsPerUnit * outline.Width;
        _ = ToGrid(new(width, 0), outline.Origin);
        int steps = (int)Math.Round(width, MidpointRounding.AwayFromZero);
        if (steps == 0 || points.Count < 2)
        {
            context.Ignored.Lose(outline.Origin, "smaller than the grid");
            return;
        }

        if (outline.Curve is BulgeCurve { HasArcs: true } bent)
        {
            AddBentTrack(bent, width, layer, outline.Origin);
            return;
        }

        if (outline.Curve.IsClosed && points[0] != points[^1])
        {
            // A path that comes back to its start is joined there.
            points.Add(points[0]);
        }

        shapes.Add(new PathShape(layer, DoseFactor.One, [.. points], steps, PathEnd.Flat) { Place = context.PlaceOf(outline.Origin) });
    }

    // A path of the layout is a polyline: its ends and corners would follow the chords of an arc and not the arc.
    private void AddBentTrack(BulgeCurve bent, double width, int layer, in EntityOrigin origin)
    {
        // The chords of the course and those of its sides share the error.
        double error = context.ChordError / 2;
        var rings = new ContourSetBuilder();
        foreach (List<PlanePoint> ring in PathOutline.Of(bent.Course(placement, error), new StrokeStyle(width, StrokeEnd.Flat), error))
        {
            AddRing(rings, ring, origin);
        }

        AddRings(rings, layer, origin);
    }

    private void AddRing(ContourSetBuilder rings, List<PlanePoint> ring, in EntityOrigin origin)
    {
        curve.Clear();
        curve.AddRange(ring);
        RoundCurve(origin);
        if (points.Count >= 3)
        {
            rings.AddRing(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(points));
        }
    }

    private void AddRings(ContourSetBuilder rings, int layer, in EntityOrigin origin)
    {
        ContourSet contours = rings.ToContourSet();
        if (contours.Count == 0)
        {
            context.Ignored.Lose(origin, "smaller than the grid");
            return;
        }

        shapes.Add(new PolygonShape(layer, DoseFactor.One, contours, FillRule.NonZero) { Place = context.PlaceOf(origin) });
    }

    private void Flatten(DxfCurve drawn, in EntityOrigin origin)
    {
        curve.Clear();
        if (!drawn.TryFlatten(curve, placement, context.ChordError))
        {
            throw OutOfRange(curve.Count > 0 ? curve[^1] : null, origin);
        }

        RoundCurve(origin);
    }

    // From curve to points, each distinct from the one before.
    private void RoundCurve(in EntityOrigin origin)
    {
        points.Clear();
        context.Vertices.Add(curve.Count);
        foreach (PlanePoint point in curve)
        {
            GridPoint rounded = ToGrid(point, origin);
            if (points.Count == 0 || points[^1] != rounded)
            {
                points.Add(rounded);
            }
        }
    }

    private GridPoint ToGrid(PlanePoint point, in EntityOrigin origin) =>
        point.FitsGrid && point.ToGrid() is { IsInRange: true } rounded ? rounded : throw OutOfRange(point, origin);

    private CompileException OutOfRange(PlanePoint? point, in EntityOrigin origin)
    {
        string limit = (GridPoint.Limit * 1e-9 * context.Options.GridPicometres).ToString("G4", CultureInfo.InvariantCulture);
        string where = point is { } p && !p.FitsGrid && double.IsFinite(p.X) && double.IsFinite(p.Y)
            ? $" at {ChainReport.Coordinates(placement.Undo(p), context.Unit)}"
            : "";
        return new CompileException(DxfCodes.OutOfRange,
            $"reaches beyond ±{limit} mm{where}, read with 1 drawing unit = {context.Unit.Describe()}",
            origin.Place(context.File),
            "check the drawing unit, and draw near the origin");
    }
}
