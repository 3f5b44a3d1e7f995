using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fields;

/// <summary>Joins trapezoids that lie on each other between the same two sides: what several cuts have divided needlessly.</summary>
internal static class StackedParts
{
    /// <summary>The parts of one figure with as few trapezoids as their sides allow.</summary>
    public static List<Figure> Join(List<Figure> parts)
    {
        var joined = new List<Figure>(parts.Count);
        foreach (Figure part in parts)
        {
            int below = joined.FindIndex(other => TryJoin(other, part) is not null);
            if (below < 0)
            {
                joined.Add(part);
            }
            else
            {
                joined[below] = TryJoin(joined[below], part) ?? joined[below];
            }
        }

        return joined;
    }

    private static Figure? TryJoin(in Figure a, in Figure b)
    {
        if (a.Kind != FigureKind.Trapezoid || b.Kind != FigureKind.Trapezoid || a.IsTransposed != b.IsTransposed)
        {
            return null;
        }

        (Trapezoid lower, Trapezoid upper) = a.Shape.YBottom < b.Shape.YBottom ? (a.Shape, b.Shape) : (b.Shape, a.Shape);
        return lower.YTop == upper.YBottom && Common(lower.Left, upper.Left) is GridEdge left && Common(lower.Right, upper.Right) is GridEdge right
            ? a with { Shape = new Trapezoid(lower.YBottom, upper.YTop, left, right) }
            : null;
    }

    /// <summary>One edge that stands for both, or null.</summary>
    private static GridEdge? Common(GridEdge lower, GridEdge upper) => lower == upper
        ? lower
        : lower.IsVertical && upper.IsVertical && lower.Lower.X == upper.Lower.X
            ? new GridEdge(lower.Lower.Y < upper.Lower.Y ? lower.Lower : upper.Lower, upper.Upper.Y > lower.Upper.Y ? upper.Upper : lower.Upper)
            : null;
}
