using System.Collections.Immutable;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Areas with heights that stand alone and are so narrow that their own forward electrons leave them. Heights are held to the forward
/// energy of a large area, for a border blurs whatever the dose is; a narrow area is border throughout, and gets less than that.
/// </summary>
internal sealed class NarrowHeights
{
    // The middle of a straight strip of three forward ranges gets erf(1.5) = 97 % of a large area's forward energy.
    private const double NarrowInRanges = 3;

    // Six per cent of a dose are 2.5 % of the contrast, as part of the film.
    private const double Whole = 0.94;

    private readonly IReadOnlyList<Figure> figures;
    private readonly double range;
    private readonly (double Line, double Dot) chargeOf;
    private FigureIndex? index;

    /// <summary>Of figures.</summary>
    /// <param name="figures">The figures.</param>
    /// <param name="range">1/e radius of the forward Gaussian, in grid steps.</param>
    /// <param name="chargeOf">Charge of a line and of a dot, per area dose.</param>
    public NarrowHeights(IReadOnlyList<Figure> figures, double range, (double Line, double Dot) chargeOf) =>
        (this.figures, this.range, this.chargeOf) = (figures, range, chargeOf);

    /// <summary>Forward energy in the middle of narrow areas, with that of a large area at their dose.</summary>
    /// <param name="hasHeight">Figures with a height.</param>
    /// <param name="doses">Dose of each figure.</param>
    public ImmutableArray<(int Figure, double Forward, double OfLarge)> Find(Func<int, bool> hasHeight, float[] doses)
    {
        var narrow = ImmutableArray.CreateBuilder<(int, double, double)>();
        for (int figure = 0; figure < figures.Count; figure++)
        {
            FigureBox box = FigureBox.Of(figures[figure]);
            if (doses[figure] == 0 || !hasHeight(figure) || Math.Min(box.Width, box.Height) > NarrowInRanges * range)
            {
                continue;
            }

            (double x, double y) = ((box.XLow + box.XHigh) / 2, (box.YLow + box.YHigh) / 2);
            if (Forward(x, y, null) < Whole && !IsBesideSomethingWide(x, y))
            {
                narrow.Add((figure, Forward(x, y, doses), doses[figure]));
            }
        }

        return narrow.ToImmutable();
    }

    // A narrow piece at the border of a wide area has the inside of that within reach.
    private bool IsBesideSomethingWide(double x, double y)
    {
        foreach (double distance in (double[])[1.2 * range, 2.4 * range])
        {
            foreach ((int dx, int dy) in ((int, int)[])[(1, 0), (-1, 0), (0, 1), (0, -1)])
            {
                if (Forward(x + dx * distance, y + dy * distance, null) >= Whole)
                {
                    return true;
                }
            }
        }

        return false;
    }

    private double Forward(double x, double y, float[]? doses)
    {
        // Few drawings have heights.
        index ??= new FigureIndex(figures);
        double sum = 0;
        foreach (int figure in index.Within(x, y, GaussianEnergy.Reach * range))
        {
            sum += (doses?[figure] ?? 1) * ForwardCoupling.Energy(figures[figure], new ControlPoint(x, y, 1, 0), range, chargeOf);
        }

        return sum;
    }
}
