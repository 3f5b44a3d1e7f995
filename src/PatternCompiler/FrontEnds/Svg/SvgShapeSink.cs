using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Svg.Syntax;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>Turns outlines into shapes of the layout: keeps rectangles, circles and plain strokes as such, and makes polygons of the rest.</summary>
internal sealed class SvgShapeSink(SvgContext context, DrawingOptions options, CancellationToken cancellation)
{
    private readonly Dictionary<string, int> layerIndices = new(StringComparer.Ordinal);
    private readonly ImmutableArray<string>.Builder layers = ImmutableArray.CreateBuilder<string>();
    private readonly ImmutableArray<Shape>.Builder shapes = ImmutableArray.CreateBuilder<Shape>();
    private readonly PlaceTable places = new();
    private readonly WorkMeter vertices = options.Limits.Meter(WorkKind.Vertices);
    private readonly double chordError = options.ChordErrorNanometres * 1000 / options.GridPicometres;

    /// <summary>The layout of everything added.</summary>
    public LayoutDocument Build() => new(
        options.GridPicometres,
        layers.DrainToImmutable(),
        [new Cell(LayoutWriter.DefaultDrawingName, shapes.DrainToImmutable(), [])],
        LayoutWriter.DefaultDrawingName) { Places = places };

    /// <summary>Lower left and upper right corner of everything added, strokes by their middle lines; null if nothing was.</summary>
    public (GridPoint Low, GridPoint High)? Extent { get; private set; }

    /// <summary>Where an outline lies.</summary>
    /// <param name="Map">From its units to the grid.</param>
    /// <param name="Clip">What of the grid it may cover.</param>
    public readonly record struct Place(Affine Map, SvgClip Clip);

    /// <summary>Bounds of an outline that is to lie on the grid, in its own units.</summary>
    public SvgBounds Bounds(SvgElement element, List<SvgSubpath> outline, Affine map)
    {
        Require(element, outline, map);
        return SvgBounds.Of(outline, chordError / map.LargestStretch);
    }

    /// <summary>Adds the area of an outline.</summary>
    public void Fill(SvgElement element, List<SvgSubpath> outline, Place place, FillRule rule, string layer)
    {
        Require(element, outline, place.Map);
        var rings = new ContourSetBuilder();
        foreach (SvgSubpath subpath in outline)
        {
            AddRing(rings, subpath.Flatten(place.Map, chordError));
        }

        ContourSet contours = rings.ToContourSet();
        bool isWhole = place.Clip.Contains(contours.Points);
        if (isWhole && element.Name == "circle" && place.Map.IsSimilarity && TryCircle(element, outline[0], place.Map, layer))
        {
            Reach(contours.Points);
            return;
        }

        AddArea(element, contours, rule, place.Clip, isWhole, layer);
    }

    /// <summary>Adds the area of a stroke along an outline.</summary>
    public void Stroke(SvgElement element, List<SvgSubpath> outline, Place place, StrokeStyle stroke, string layer)
    {
        Affine map = place.Map;
        Require(element, outline, map);
        double width = stroke.Width * map.LargestStretch;
        if (!(width < GridPoint.Limit))
        {
            throw BeyondGrid(element);
        }

        int steps = (int)Math.Round(width, MidpointRounding.AwayFromZero);
        bool isPlain = place.Clip.IsNone && map.IsSimilarity && stroke.Join == StrokeJoin.Mitre && stroke.MitreLimit == StrokeStyle.UsualMitreLimit && steps > 0;
        bool isEmpty = true;
        var rings = new ContourSetBuilder();
        foreach (SvgSubpath subpath in outline)
        {
            // A lone move draws nothing (SVG 2, 13.5.4: zero-length subpaths draw their caps; a move alone is none).
            if (subpath.Segments.Count == 0 && !subpath.IsClosed)
            {
                continue;
            }

            if (isPlain && TryAddPath(element, subpath, map, steps, stroke.End, layer))
            {
                isEmpty = false;
                continue;
            }

            // The chords of the course and those of its sides share the error.
            double error = chordError / (2 * map.LargestStretch);
            foreach (List<PlanePoint> ring in PathOutline.Of(subpath.Course(error), stroke, error))
            {
                AddRing(rings, [.. ring.Select(map.Map)], element);
            }
        }

        ContourSet contours = rings.ToContourSet();
        if (contours.Count > 0 || isEmpty)
        {
            AddArea(element, contours, FillRule.NonZero, place.Clip, place.Clip.Contains(contours.Points), layer);
        }
    }

    /// <summary>Adds a stroke without a width of its own as lines and dots.</summary>
    public void Hairline(SvgElement element, List<SvgSubpath> outline, Place place, string layer)
    {
        Require(element, outline, place.Map);
        PlaceId here = PlaceOf(element, layer);
        foreach (SvgSubpath subpath in outline.Where(path => path.Segments.Count > 0 || path.IsClosed))
        {
            ImmutableArray<GridPoint>.Builder points = Rounded(subpath, place.Map);
            if (!place.Clip.Contains(points.ToArray()))
            {
                throw context.Fault(SvgCodes.NotRead, "a stroke without width that a viewport cuts is not read", element, "draw it within its viewport");
            }

            context.Hairline(element);
            Reach(points.ToArray());
            shapes.Add(points.Count == 1
                ? new DotShape(LayerOf(layer), DoseFactor.One, points[0]) { Place = here }
                : new LineShape(LayerOf(layer), DoseFactor.One, points.DrainToImmutable()) { Place = here });
        }
    }

    private void AddArea(SvgElement element, ContourSet contours, FillRule rule, SvgClip clip, bool isWhole, string layer)
    {
        bool isSeen = contours.Count > 0;
        if (!isWhole)
        {
            contours = clip.Cut(contours, rule, options.Limits, cancellation);
            rule = FillRule.NonZero;
        }

        if (contours.Count == 0)
        {
            context.Ignore(element, isSeen ? $"{element.Name} outside of its viewport" : $"{element.Name} without area", layer);
            return;
        }

        Reach(contours.Points);
        PlaceId here = PlaceOf(element, layer);
        shapes.Add(AsRectangle(contours, LayerOf(layer), here) ?? (Shape)new PolygonShape(LayerOf(layer), DoseFactor.One, contours, rule) { Place = here });
    }

    private void Reach(ReadOnlySpan<GridPoint> points)
    {
        foreach (GridPoint point in points)
        {
            (GridPoint low, GridPoint high) = Extent ?? (point, point);
            Extent = (new(Math.Min(low.X, point.X), Math.Min(low.Y, point.Y)), new(Math.Max(high.X, point.X), Math.Max(high.Y, point.Y)));
        }
    }

    // A path of the layout is a polyline, joined where it comes back to its start: a curve's ends and corners have directions
    // that its chords do not have, and a subpath that comes back without being closed has two ends.
    private bool TryAddPath(SvgElement element, SvgSubpath subpath, Affine map, int width, StrokeEnd end, string layer)
    {
        if (!subpath.IsStraight)
        {
            return false;
        }

        ImmutableArray<GridPoint>.Builder rounded = Rounded(subpath, map);
        if (rounded.Count == 1 || (rounded.Count > 3 && rounded[0] == rounded[^1]) != subpath.IsClosed)
        {
            return false;
        }

        Reach(rounded.ToArray());
        PathEnd pathEnd = end switch { StrokeEnd.Round => PathEnd.Round, StrokeEnd.Square => PathEnd.Square, _ => PathEnd.Flat };
        shapes.Add(new PathShape(LayerOf(layer), DoseFactor.One, rounded.DrainToImmutable(), width, pathEnd) { Place = PlaceOf(element, layer) });
        return true;
    }

    // The course of a stroke in grid points, each distinct from the one before.
    private ImmutableArray<GridPoint>.Builder Rounded(SvgSubpath subpath, Affine map)
    {
        List<PlanePoint> points = subpath.Flatten(map, chordError);
        CloseUp(points, subpath);
        vertices.Add(points.Count);
        var rounded = ImmutableArray.CreateBuilder<GridPoint>(points.Count);
        foreach (PlanePoint point in points)
        {
            GridPoint corner = point.ToGrid();
            if (rounded.Count == 0 || corner != rounded[^1])
            {
                rounded.Add(corner);
            }
        }

        return rounded;
    }

    private static void CloseUp(List<PlanePoint> points, SvgSubpath subpath)
    {
        if (subpath.IsClosed && points[^1] != points[0])
        {
            points.Add(points[0]);
        }
    }

    private bool TryCircle(SvgElement element, SvgSubpath outline, Affine map, string layer)
    {
        var arc = (SvgArc)outline.Segments[0];
        double radius = Math.Round(arc.U.Length * map.LargestStretch, MidpointRounding.AwayFromZero);
        if (radius < 1)
        {
            return false;
        }

        shapes.Add(new CircleShape(LayerOf(layer), DoseFactor.One, map.Map(arc.Centre).ToGrid(), (int)radius) { Place = PlaceOf(element, layer) });
        return true;
    }

    private static RectangleShape? AsRectangle(ContourSet contours, int layer, PlaceId here)
    {
        if (contours.Count != 1 || contours[0].Length != 4)
        {
            return null;
        }

        ReadOnlySpan<GridPoint> p = contours[0];
        bool isUpright = (p[0].Y == p[1].Y && p[1].X == p[2].X && p[2].Y == p[3].Y && p[3].X == p[0].X)
            || (p[0].X == p[1].X && p[1].Y == p[2].Y && p[2].X == p[3].X && p[3].Y == p[0].Y);
        return isUpright
            ? new(layer, DoseFactor.One, Math.Min(p[0].X, p[2].X), Math.Min(p[0].Y, p[2].Y), Math.Max(p[0].X, p[2].X), Math.Max(p[0].Y, p[2].Y)) { Place = here }
            : null;
    }

    private void AddRing(ContourSetBuilder rings, List<PlanePoint> points, SvgElement? checkedFor = null)
    {
        vertices.Add(points.Count);
        var ring = new List<GridPoint>(points.Count);
        foreach (PlanePoint point in points)
        {
            if (checkedFor is not null && !point.FitsGrid)
            {
                throw BeyondGrid(checkedFor);
            }

            GridPoint corner = point.ToGrid();
            if (ring.Count == 0 || corner != ring[^1])
            {
                ring.Add(corner);
            }
        }

        while (ring.Count > 1 && ring[^1] == ring[0])
        {
            ring.RemoveAt(ring.Count - 1);
        }

        if (ring.Count >= 3)
        {
            rings.AddRing(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(ring));
        }
    }

    private void Require(SvgElement element, List<SvgSubpath> outline, Affine map)
    {
        if (!outline.TrueForAll(subpath => subpath.Fits(map)))
        {
            throw BeyondGrid(element);
        }
    }

    /// <summary>The error that an element lies beyond the grid.</summary>
    public CompileException BeyondGrid(SvgElement element) => context.Fault(
        SvgCodes.BeyondGrid,
        $"this shape lies beyond the grid of {LengthText.Nanometres(options.GridPicometres)}, which reaches \u00B1{LengthText.Micrometres(GridPoint.Limit, options.GridPicometres)} um",
        element,
        "state the drawing unit, or choose a coarser grid");

    private PlaceId PlaceOf(SvgElement element, string layer) => element.PlaceIn(places, context.File, layer);

    private int LayerOf(string name)
    {
        if (!layerIndices.TryGetValue(name, out int index))
        {
            index = layers.Count;
            layers.Add(name);
            layerIndices.Add(name, index);
        }

        return index;
    }
}
