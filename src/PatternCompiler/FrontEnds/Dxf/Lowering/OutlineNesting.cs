using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>
/// Finds a closed outline of a cell that lies within another one of its layer. Each is kept by the power of two that its size
/// is below and by the corner of its box, so that the few that can hold a given one are found at once.
/// </summary>
internal sealed class OutlineNesting
{
    private const int Levels = 32;

    // Where outlines are heaped up, some of them tell of all.
    private const int MostInOnePlace = 16;

    private readonly List<(Shape Shape, GridBox Box, EntityOrigin Origin)> outlines = [];

    /// <summary>Notes an outline: a circle, a rectangle or a polygon of one ring.</summary>
    public void Add(Shape outline, EntityOrigin origin) => outlines.Add((outline, BoxOf(outline), origin));

    /// <summary>The first outline that lies within another one; null if none does.</summary>
    public EntityOrigin? Find()
    {
        Dictionary<(int Layer, int Level, int X, int Y), int> latest = [];
        bool[] isUsed = new bool[Levels];
        int[] before = new int[outlines.Count];
        for (int i = 0; i < outlines.Count; i++)
        {
            (Shape shape, GridBox box, _) = outlines[i];
            int level = LevelOf(box);
            isUsed[level] = true;
            var place = (shape.Layer, level, box.XLeft >> level, box.YBottom >> level);
            before[i] = latest.TryGetValue(place, out int other) ? other : -1;
            latest[place] = i;
        }

        foreach ((Shape shape, GridBox box, EntityOrigin origin) in outlines)
        {
            GridPoint point = PointOf(shape);
            for (int level = LevelOf(box); level < Levels; level++)
            {
                // A box is less wide and high than the cells of its level: one that reaches here begins here or in the cell before.
                for (int k = 0; k < 4 && isUsed[level]; k++)
                {
                    var place = (shape.Layer, level, (box.XLeft >> level) - (k & 1), (box.YBottom >> level) - (k >> 1));
                    int left = MostInOnePlace;
                    for (int i = latest.TryGetValue(place, out int first) ? first : -1; i >= 0 && left > 0; i = before[i], left--)
                    {
                        if (Holds(outlines[i], box, point))
                        {
                            return origin;
                        }
                    }
                }
            }
        }

        return null;
    }

    // Outlines that share a side touch; they do not lie within each other.
    private static bool Holds((Shape Shape, GridBox Box, EntityOrigin Origin) outer, GridBox box, GridPoint point) =>
        outer.Box.XLeft < box.XLeft && outer.Box.XRight > box.XRight && outer.Box.YBottom < box.YBottom && outer.Box.YTop > box.YTop
        && outer.Shape switch
        {
            CircleShape circle => IsWithin(circle, point),
            PolygonShape polygon => IsWithin(polygon.Contours[0], point),
            _ => true,
        };

    private static bool IsWithin(CircleShape circle, GridPoint point)
    {
        long x = (long)point.X - circle.Centre.X;
        long y = (long)point.Y - circle.Centre.Y;
        return (Int128)x * x + (Int128)y * y < (Int128)circle.Radius * circle.Radius;
    }

    // Sides that a ray to the right crosses.
    private static bool IsWithin(ReadOnlySpan<GridPoint> ring, GridPoint point)
    {
        bool isWithin = false;
        for (int i = 0; i < ring.Length; i++)
        {
            GridPoint a = ring[i];
            GridPoint b = ring[(i + 1) % ring.Length];
            if (a.Y > point.Y != b.Y > point.Y)
            {
                long turn = (((long)b.X - a.X) * ((long)point.Y - a.Y)) - (((long)b.Y - a.Y) * ((long)point.X - a.X));
                isWithin ^= b.Y > a.Y ? turn > 0 : turn < 0;
            }
        }

        return isWithin;
    }

    private static GridPoint PointOf(Shape shape) => shape switch
    {
        CircleShape circle => new(circle.Centre.X + circle.Radius, circle.Centre.Y),
        RectangleShape r => new(r.XLeft, r.YBottom),
        PolygonShape polygon => polygon.Contours[0][0],
        _ => default,
    };

    private static GridBox BoxOf(Shape shape) => shape switch
    {
        CircleShape c => new(c.Centre.X - c.Radius, c.Centre.Y - c.Radius, c.Centre.X + c.Radius, c.Centre.Y + c.Radius),
        RectangleShape r => new(r.XLeft, r.YBottom, r.XRight, r.YTop),
        PolygonShape polygon => GridBox.Around(polygon.Contours),
        _ => GridBox.Empty,
    };

    private static int LevelOf(GridBox box) =>
        Levels - int.LeadingZeroCount(Math.Max(box.XRight - box.XLeft, box.YTop - box.YBottom));
}
