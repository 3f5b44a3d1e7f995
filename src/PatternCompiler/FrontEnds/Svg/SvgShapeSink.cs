using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>Turns outlines into shapes of the layout: keeps rectangles, circles and plain strokes as such, and makes polygons of the rest.</summary>
internal sealed class SvgShapeSink(SvgContext context, SvgOptions options)
{
    private readonly Dictionary<string, int> layerIndices = new(StringComparer.Ordinal);
    private readonly ImmutableArray<string>.Builder layers = ImmutableArray.CreateBuilder<string>();
    private readonly ImmutableArray<Shape>.Builder shapes = ImmutableArray.CreateBuilder<Shape>();
    private readonly WorkMeter vertices = options.Limits.Meter(WorkKind.Vertices);
    private readonly double chordError = options.ChordErrorNanometres * 1000 / options.GridPicometres;

    /// <summary>The layout of everything added.</summary>
    public LayoutDocument Build() => new(
        options.GridPicometres,
        layers.DrainToImmutable(),
        [new Cell(LayoutWriter.DefaultDrawingName, shapes.DrainToImmutable(), [])],
        LayoutWriter.DefaultDrawingName);

    /// <summary>Adds the area of an outline.</summary>
    public void Fill(SvgElement element, List<SvgSubpath> outline, Affine map, FillRule rule, string layer)
    {
        Require(element, outline, map);
        if (element.Name == "circle" && map.IsSimilarity && TryCircle(outline[0], map, layer))
        {
            return;
        }

        var rings = new ContourSetBuilder();
        foreach (SvgSubpath subpath in outline)
        {
            AddRing(rings, subpath.Flatten(map, chordError));
        }

        ContourSet contours = rings.ToContourSet();
        if (contours.Count == 0)
        {
            context.Ignore(element, $"{element.Name} without area", layer);
            return;
        }

        shapes.Add(AsRectangle(contours, LayerOf(layer)) ?? (Shape)new PolygonShape(LayerOf(layer), DoseFactor.One, contours, rule));
    }

    /// <summary>Adds the area of a stroke along an outline; a stroke without a width of its own becomes lines and dots.</summary>
    public void Stroke(SvgElement element, List<SvgSubpath> outline, Affine map, SvgStyle style, string layer)
    {
        Require(element, outline, map);
        if (style.IsHairline)
        {
            AddLines(element, outline, map, layer);
            return;
        }

        double width = style.StrokeWidth * map.LargestStretch;
        if (!(width < GridPoint.Limit))
        {
            throw BeyondGrid(element);
        }

        int steps = (int)Math.Round(width, MidpointRounding.AwayFromZero);
        bool isPlain = map.IsSimilarity && style.StrokeJoin == StrokeJoin.Mitre && style.MitreLimit == StrokeStyle.UsualMitreLimit && steps > 0;
        var stroke = new StrokeStyle(style.StrokeWidth, style.StrokeEnd, style.StrokeJoin, style.MitreLimit);
        var rings = new ContourSetBuilder();
        foreach (SvgSubpath subpath in outline)
        {
            // A lone move draws nothing (SVG 2, 13.5.4: zero-length subpaths draw their caps; a move alone is none).
            if (subpath.Segments.Count == 0 && !subpath.IsClosed)
            {
                continue;
            }

            if (isPlain)
            {
                AddPath(subpath, map, steps, style.StrokeEnd, layer);
                continue;
            }

            double stretch = map.LargestStretch;
            List<PlanePoint> points = subpath.Flatten(Affine.Identity, chordError / stretch);
            CloseUp(points, subpath);
            foreach (List<PlanePoint> ring in PathOutline.Of(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(points), stroke, chordError / stretch))
            {
                AddRing(rings, [.. ring.Select(map.Map)], element);
            }
        }

        ContourSet contours = rings.ToContourSet();
        if (contours.Count > 0)
        {
            shapes.Add(new PolygonShape(LayerOf(layer), DoseFactor.One, contours, FillRule.NonZero));
        }
        else if (!isPlain)
        {
            context.Ignore(element, $"{element.Name} without area", layer);
        }
    }

    private void AddPath(SvgSubpath subpath, Affine map, int width, StrokeEnd end, string layer)
    {
        ImmutableArray<GridPoint>.Builder rounded = Rounded(subpath, map);
        if (rounded.Count == 1)
        {
            rounded.Add(rounded[0]);
        }

        PathEnd pathEnd = end switch { StrokeEnd.Round => PathEnd.Round, StrokeEnd.Square => PathEnd.Square, _ => PathEnd.Flat };
        shapes.Add(new PathShape(LayerOf(layer), DoseFactor.One, rounded.DrainToImmutable(), width, pathEnd));
    }

    private void AddLines(SvgElement element, List<SvgSubpath> outline, Affine map, string layer)
    {
        foreach (SvgSubpath subpath in outline.Where(path => path.Segments.Count > 0 || path.IsClosed))
        {
            ImmutableArray<GridPoint>.Builder points = Rounded(subpath, map);
            context.Hairline(element);
            shapes.Add(points.Count == 1
                ? new DotShape(LayerOf(layer), DoseFactor.One, points[0])
                : new LineShape(LayerOf(layer), DoseFactor.One, points.DrainToImmutable()));
        }
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

    private bool TryCircle(SvgSubpath outline, Affine map, string layer)
    {
        var arc = (SvgArc)outline.Segments[0];
        double radius = Math.Round(arc.U.Length * map.LargestStretch, MidpointRounding.AwayFromZero);
        if (radius < 1)
        {
            return false;
        }

        shapes.Add(new CircleShape(LayerOf(layer), DoseFactor.One, map.Map(arc.Centre).ToGrid(), (int)radius));
        return true;
    }

    private static RectangleShape? AsRectangle(ContourSet contours, int layer)
    {
        if (contours.Count != 1 || contours[0].Length != 4)
        {
            return null;
        }

        ReadOnlySpan<GridPoint> p = contours[0];
        bool isUpright = (p[0].Y == p[1].Y && p[1].X == p[2].X && p[2].Y == p[3].Y && p[3].X == p[0].X)
            || (p[0].X == p[1].X && p[1].Y == p[2].Y && p[2].X == p[3].X && p[3].Y == p[0].Y);
        return isUpright
            ? new(layer, DoseFactor.One, Math.Min(p[0].X, p[2].X), Math.Min(p[0].Y, p[2].Y), Math.Max(p[0].X, p[2].X), Math.Max(p[0].Y, p[2].Y))
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

    private CompileException BeyondGrid(SvgElement element) => context.Fault(
        SvgCodes.BeyondGrid,
        $"this shape lies beyond the grid of {LengthText.Nanometres(options.GridPicometres)}, which reaches \u00B1{LengthText.Micrometres(GridPoint.Limit, options.GridPicometres)} um",
        element,
        "state the drawing unit, or choose a coarser grid");

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
