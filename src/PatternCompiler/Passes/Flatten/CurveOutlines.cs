using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Passes.Flatten;

/// <summary>Turns circles, rings and paths, mapped by an affine map, into rings on the grid.</summary>
internal static class CurveOutlines
{
    /// <summary>
    /// Adds the rings of a shape in its own coordinates. Points of paths that fall between grid points are rounded
    /// upward at the half: then a path keeps its width wherever it lies.
    /// </summary>
    public static void AddOwn(ContourSetBuilder rings, Shape shape, double chordError)
    {
        if (shape is PathShape path)
        {
            foreach (List<PlanePoint> ring in Outline(path, chordError))
            {
                Add(rings, ring, Affine.Identity, isHalfUp: true);
            }
        }
        else
        {
            AddMapped(rings, shape, Affine.Identity, chordError);
        }
    }

    /// <summary>Adds the rings of the image of a shape.</summary>
    public static void AddMapped(ContourSetBuilder rings, Shape shape, Affine map, double chordError)
    {
        switch (shape)
        {
            case CircleShape circle:
                AddEllipse(rings, circle.Centre, circle.Radius, map, chordError);
                break;
            case RingShape ring:
                AddEllipse(rings, ring.Centre, ring.OuterRadius, map, chordError);
                var hole = new ContourSetBuilder();
                AddEllipse(hole, ring.Centre, ring.InnerRadius, map, chordError);
                AddReversed(rings, hole.ToContourSet());
                break;
            case PathShape path:
                foreach (List<PlanePoint> outline in Outline(path, chordError / map.LargestStretch))
                {
                    Add(rings, outline, map, isHalfUp: false);
                }

                break;
            default:
                throw new InvalidOperationException($"A {shape.GetType().Name} is no curve.");
        }
    }

    private static List<List<PlanePoint>> Outline(PathShape path, double chordError)
    {
        StrokeEnd end = path.End switch
        {
            PathEnd.Square => StrokeEnd.Square,
            PathEnd.Round => StrokeEnd.Round,
            _ => StrokeEnd.Flat,
        };
        PlanePoint[] points = [.. path.Points.Select(PlanePoint.From)];
        return PathOutline.Of(points, new StrokeStyle(path.Width, end), chordError);
    }

    private static void AddEllipse(ContourSetBuilder rings, GridPoint centre, int radius, Affine map, double chordError)
    {
        PlanePoint middle = map.Map(centre);
        double reach = radius * map.LargestStretch;
        RequireGrid(new(Math.Abs(middle.X) + reach, Math.Abs(middle.Y) + reach));
        ArcFlattening.AddEllipse(rings, middle, radius * map.ImageOfX, radius * map.ImageOfY, chordError);
    }

    private static void Add(ContourSetBuilder rings, List<PlanePoint> ring, Affine map, bool isHalfUp)
    {
        var points = new GridPoint[ring.Count];
        for (int i = 0; i < points.Length; i++)
        {
            PlanePoint point = map.Map(ring[i]);
            RequireGrid(point);
            points[i] = isHalfUp ? new((int)Math.Floor(point.X + 0.5), (int)Math.Floor(point.Y + 0.5)) : point.ToGrid();
        }

        if (map.IsMirrored)
        {
            Array.Reverse(points);
        }

        rings.AddRing(points);
    }

    private static void AddReversed(ContourSetBuilder rings, ContourSet set)
    {
        for (int i = 0; i < set.Count; i++)
        {
            GridPoint[] ring = set[i].ToArray();
            Array.Reverse(ring);
            rings.AddRing(ring);
        }
    }

    private static void RequireGrid(PlanePoint point)
    {
        if (!point.FitsGrid)
        {
            throw new BeyondGridException();
        }
    }
}
