using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Steps of the iteration, each led on by how much of the step before is left in it: along what converges slowly it goes as far as all
/// steps to come would (D. G. Anderson, J. ACM 12, 547 (1965), with one step kept; in the logarithms of doses). Where it ends is
/// where the plain steps end.
/// </summary>
internal sealed class AcceleratedSteps
{
    // In steps: further than this, what is no part of what converges slowly is led too far.
    private const double FurthestLead = 3;

    // Of a lead, see Ratio: a fifth of a dose.
    private const double LargestRatio = 0.1;

    private readonly ScatteredField field;
    private readonly float[] lastSteps;
    private readonly float[] lastAims;
    private bool isFirst = true;

    /// <summary>Of no step yet.</summary>
    public AcceleratedSteps(ScatteredField field)
    {
        this.field = field;
        lastSteps = new float[field.Figures.Count];
        lastAims = new float[field.Figures.Count];
    }

    /// <summary>Changes corrections whose energies the field has.</summary>
    public void Take(float[] corrections, bool isLed, CancellationToken cancellation)
    {
        float[] aims = field.Improve(corrections, cancellation);
        double lead = Lead(corrections, aims, cancellation) * (isLed ? 1 : 0);
        FigureChunks.ForEach(
            corrections.Length,
            figure =>
            {
                float aim = aims[figure];
                double ratio = Math.Clamp(lead * Ratio(lastAims[figure], aim), -LargestRatio, LargestRatio);
                corrections[figure] = lead > 0 ? (float)field.Bounded(figure, aim * (1 + ratio) / (1 - ratio)) : aim;
                lastAims[figure] = aim;
            },
            cancellation);
    }

    // Half the logarithm of a quotient to third order, without functions that are rounded differently on different machines.
    private static double Ratio(double from, double to) => (to - from) / (to + from);

    // How far to go on from the aims, over their distance from the last ones: where what is left of a step shrinks evenly, to its end.
    private double Lead(float[] corrections, float[] aims, CancellationToken cancellation)
    {
        // Summed part by part, in one order.
        var parts = new (double Left, double Change)[FigureChunks.Count(corrections.Length)];
        FigureChunks.ForEach(
            corrections.Length,
            figure =>
            {
                float step = (float)Ratio(corrections[figure], aims[figure]);
                double change = lastSteps[figure] - step;
                double length = field.LengthOf(figure);
                ref (double Left, double Change) part = ref parts[figure / FigureChunks.Size];
                part = (part.Left + length * step * change, part.Change + length * change * change);
                lastSteps[figure] = step;
            },
            cancellation);
        (double left, double changed) = (parts.Sum(part => part.Left), parts.Sum(part => part.Change));
        bool wasFirst = isFirst;
        isFirst = false;
        return wasFirst || changed == 0 ? 0 : Math.Clamp(left / changed, 0, FurthestLead);
    }
}
