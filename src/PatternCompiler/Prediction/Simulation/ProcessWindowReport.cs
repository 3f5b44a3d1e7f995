using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Edge errors over dose, and what they say about any bias.</summary>
/// <param name="Steps">Edges at each dose, ascending.</param>
/// <param name="LimitNanometres">Largest edge error allowed.</param>
internal sealed record ProcessWindowReport(ImmutableArray<DoseStep> Steps, double LimitNanometres)
{
    // One place in a thousand may miss its edge: line ends and tight corners do so first.
    private const double MostLostPart = 1e-3;

    /// <summary>
    /// Edge error at a dose when every edge is moved outward by a further bias: |mean + bias| + 3σ. Infinite where edges
    /// are lost.
    /// </summary>
    public double ErrorAt(int step, double biasNanometres)
    {
        EdgeErrorReport edges = Steps[step].Edges;
        return edges.Samples == 0 || edges.Lost > MostLostPart * edges.Samples
            ? double.PositiveInfinity
            : Math.Abs(edges.MeanNanometres + biasNanometres) + edges.ThreeSigmaNanometres;
    }

    /// <summary>Doses between which the error stays within the limit at a bias, by interpolation between steps; null if there are none.</summary>
    public (double Lowest, double Highest)? RangeAt(double biasNanometres)
    {
        int best = -1;
        for (int i = 0; i < Steps.Length; i++)
        {
            if (ErrorAt(i, biasNanometres) <= LimitNanometres && (best < 0 || ErrorAt(i, biasNanometres) < ErrorAt(best, biasNanometres)))
            {
                best = i;
            }
        }

        if (best < 0)
        {
            return null;
        }

        return (Border(best, -1, biasNanometres), Border(best, 1, biasNanometres));
    }

    /// <summary>
    /// Exposure latitude at a bias: the range of doses within the limit over the dose in its middle; 0 if there is none.
    /// </summary>
    public double LatitudeAt(double biasNanometres) =>
        RangeAt(biasNanometres) is (double low, double high) ? 2 * (high - low) / (high + low) : 0;

    /// <summary>The bias, on a grid of a tenth of a nanometre within the limit's reach, with the largest latitude.</summary>
    public double BestBiasNanometres()
    {
        double reach = LimitNanometres + Steps.Max(s => Math.Abs(s.Edges.MeanNanometres));
        double best = 0;
        for (int i = 0; i <= (int)(reach * 10); i++)
        {
            foreach (double bias in (ReadOnlySpan<double>)[i * 0.1, -i * 0.1])
            {
                best = LatitudeAt(bias) > LatitudeAt(best) + 1e-12 ? bias : best;
            }
        }

        return best;
    }

    private double Border(int from, int direction, double biasNanometres)
    {
        int i = from;
        while (i + direction >= 0 && i + direction < Steps.Length && ErrorAt(i + direction, biasNanometres) <= LimitNanometres)
        {
            i += direction;
        }

        double inside = ErrorAt(i, biasNanometres);
        if (i + direction < 0 || i + direction >= Steps.Length || double.IsInfinity(ErrorAt(i + direction, biasNanometres)))
        {
            return Steps[i].DoseFactor;
        }

        double outside = ErrorAt(i + direction, biasNanometres);
        double part = (LimitNanometres - inside) / (outside - inside);
        return Steps[i].DoseFactor + part * (Steps[i + direction].DoseFactor - Steps[i].DoseFactor);
    }
}
