using System.Collections.Immutable;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;

namespace PatternCompiler.VirtualLab.Specimen;

/// <summary>
/// Energy that the resist of a part of the sample has absorbed, as the dose of a large area (µC/cm²): a sum of Gaussians about all
/// charge. Charge is shared among the nodes of a grid, which adds a quarter of the step squared to each Gaussian's variance; that is
/// taken off it. Parts that are wide against the window have coarser grids, from which the window's are interpolated.
/// </summary>
public static class AbsorbedEnergy
{
    // µC/cm² of one fC/nm².
    private const double MicrocoulombsPerDensity = 1e5;

    // Beyond so many ranges less than 1e-9 of a Gaussian's charge is left.
    private const double ReachInRanges = 4.5;
    private const double CoarseStepsPerRange = 20;
    private const double FewestStepsPerRange = 4;

    // Full width at half maximum of a Gaussian over its 1/e radius: 2·√(ln 2).
    private const double HalfMaximumWidthPerRange = 1.6651092223153956;

    /// <param name="deposits">The charge.</param>
    /// <param name="spread">Spread of an ideally fine beam.</param>
    /// <param name="spotNanometres">Spot, full width at half maximum.</param>
    /// <param name="window">Part of the sample.</param>
    /// <param name="stepNanometres">Step of the grid, at most a quarter of the smallest range with the spot.</param>
    public static SampleGrid In(Deposits deposits, ImmutableArray<SpreadPart> spread, double spotNanometres, SampleWindow window, double stepNanometres)
    {
        double spotRange = spotNanometres / HalfMaximumWidthPerRange;
        double total = spread.Sum(part => part.Ratio);
        var energy = new SampleGrid(window.Widened(2 * stepNanometres), stepNanometres);
        foreach (SpreadPart part in spread)
        {
            double range = Math.Sqrt((part.RangeNanometres * part.RangeNanometres) + (spotRange * spotRange));
            if (range < FewestStepsPerRange * stepNanometres)
            {
                throw new ArgumentException($"a step of {stepNanometres} nm is too coarse for a range of {range} nm");
            }

            // A step that divides the window's keeps fine grids on its nodes.
            double step = Math.Max(stepNanometres, range / CoarseStepsPerRange);
            SampleWindow reached = window.Widened((ReachInRanges * range) + (3 * step) + (2 * stepNanometres));
            var grid = new SampleGrid(reached, step);
            foreach (ArraySegment<Deposit> stretch in deposits.Near(reached))
            {
                foreach (Deposit deposit in stretch.AsSpan())
                {
                    grid.Share(deposit.X, deposit.Y, deposit.Femtocoulombs);
                }
            }

            grid.Smooth((range * range / 2) - (step * step / 4));
            Add(energy, grid, part.Ratio / total * MicrocoulombsPerDensity / (step * step));
        }

        return energy;
    }

    private static void Add(SampleGrid energy, SampleGrid part, double factor)
    {
        for (int row = 0; row < energy.Rows; row++)
        {
            double y = energy.Bottom + (row * energy.StepNanometres);
            for (int column = 0; column < energy.Columns; column++)
            {
                energy.Values[((long)row * energy.Columns) + column] += factor * part.At(energy.Left + (column * energy.StepNanometres), y);
            }
        }
    }
}
