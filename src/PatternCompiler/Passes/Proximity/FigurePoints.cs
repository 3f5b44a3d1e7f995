using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>The control points of all figures, found again from a byte a figure whenever they are needed: there are millions.</summary>
internal sealed class FigurePoints
{
    private readonly IReadOnlyList<Figure> figures;
    private readonly FigureDoses doses;
    private readonly bool atEdges;

    // Which sides are outer ones, and above that which points are held to their own figure alone.
    private readonly byte[] states;

    /// <summary>Points of figures.</summary>
    /// <param name="figures">The figures.</param>
    /// <param name="index">Where they lie.</param>
    /// <param name="doses">Which of them have heights.</param>
    /// <param name="target">What is made equal.</param>
    public FigurePoints(IReadOnlyList<Figure> figures, FigureIndex index, FigureDoses doses, ProximityTarget target)
    {
        this.figures = figures;
        this.doses = doses;
        atEdges = target == ProximityTarget.Edge;
        states = new byte[figures.Count];
        if (atEdges)
        {
            FigureChunks.ForEach(figures.Count, figure => states[figure] = ControlPoints.OuterSides(figures, index, figure), CancellationToken.None);
        }
    }

    /// <summary>The points of a figure.</summary>
    /// <returns>How many there are, at most <see cref="ControlPoints.Most"/>.</returns>
    public int Of(int figure, Span<ControlPoint> points)
    {
        int state = states[figure];
        Figure current = figures[figure];

        // A border blurs whatever the dose is: to make up for it in a figure with a height would dig a ditch along it.
        int count = doses.HasHeight(current) ? ControlPoints.Interior(current, points, ownForward: 1)
            : atEdges ? ControlPoints.Edges(current, state & 0xF, points)
            : ControlPoints.Interior(current, points);
        for (int i = 0; i < count; i++)
        {
            if ((state >> (ControlPoints.Most + i) & 1) != 0)
            {
                points[i] = points[i] with { OwnForward = ControlPoint.Edge };
            }
        }

        return count;
    }

    /// <summary>Holds a point to its own figure alone.</summary>
    public void HoldToOwn(int figure, int point) => states[figure] |= (byte)(1 << (ControlPoints.Most + point));
}
