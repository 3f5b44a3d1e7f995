using MathNet.Numerics.Distributions;

namespace PatternCompiler.Calibration.Alignment;

/// <summary>
/// Marks that lie elsewhere than all others say. One is named only if the fit holds without it, and would not hold without any other one
/// instead: that takes two marks more than the model needs, five for an affine one. Five of which four are corners and one is the middle tell
/// no corner from the opposite one; those of a pentagon tell all.
/// </summary>
internal static class DisplacedMarks
{
    /// <summary>Marks whose scatter is less likely than this by their stated errors do not fit together.</summary>
    public const double Unlikely = 1e-3;

    // Without stated errors, a mark stands out where chance would make one of a table do so this seldom.
    private const double UnlikelyByScatter = 0.01;

    // Places in tables are rounded; less than this never stands out.
    private const double RoundingNanometres = 0.01;

    // Of more than one in four it is the rest that lies elsewhere.
    private const int MostPart = 4;

    /// <summary>Numbers of the displaced marks.</summary>
    /// <param name="marks">Marks that were found.</param>
    /// <param name="model">What is fitted.</param>
    /// <param name="hasErrors">Their errors are stated.</param>
    public static IReadOnlyList<int> Of(IReadOnlyList<AlignmentMark> marks, AlignmentModel model, bool hasErrors)
    {
        int fewest = MarkEquations.ParametersOf(model) / 2 + 2;
        List<int> used = [.. Enumerable.Range(0, marks.Count)];
        List<int> displaced = [];
        while (true)
        {
            var equations = new MarkEquations([.. used.Select(i => marks[i])], model);
            int freedom = equations.Fit.DegreesOfFreedom;
            if (hasErrors && IsLikely(equations.SumOfSquares, freedom))
            {
                return displaced;
            }

            if (used.Count < fewest || displaced.Count + 1 > Math.Max(1, marks.Count / MostPart))
            {
                // With stated errors the rest must fit together, or nothing is told apart; without, what stood out did so by itself.
                return hasErrors ? [] : displaced;
            }

            double[] drops = [.. Enumerable.Range(0, used.Count).Select(i => equations.DropWithout(i) is var drop && double.IsNaN(drop) ? 0 : drop)];
            int[] order = [.. Enumerable.Range(0, drops.Length).OrderByDescending(i => drops[i])];
            if (hasErrors ? IsLikely(equations.SumOfSquares - drops[order[1]], freedom - 2) : !StandsOut(order[0]) || StandsOut(order[1]))
            {
                return hasErrors ? [] : displaced;
            }

            displaced.Add(used[order[0]]);
            used.RemoveAt(order[0]);

            bool StandsOut(int mark)
            {
                int left = freedom - 2;
                double floor = left * RoundingNanometres * RoundingNanometres;
                double ratio = drops[mark] / 2 / (Math.Max(equations.SumOfSquares - drops[mark], floor) / left);

                // Fisher's distribution with two degrees above; the worst of all marks is looked at.
                return used.Count * Math.Pow(1 + 2 * ratio / left, -left / 2.0) < UnlikelyByScatter;
            }
        }
    }

    /// <summary>Marks of stated errors of which each would mend the fit, if it alone were left out.</summary>
    public static string[] Suspects(MarkEquations equations, IReadOnlyList<AlignmentMark> used) =>
    [
        .. used.Where((_, i) => equations.DropWithout(i) is var drop && !double.IsNaN(drop) && IsLikely(equations.SumOfSquares - drop, equations.Fit.DegreesOfFreedom - 2)).Select(mark => mark.Name),
    ];

    /// <summary>True if chance would leave as much.</summary>
    public static bool IsLikely(double sumOfSquares, int degreesOfFreedom) =>
        degreesOfFreedom < 1 || 1 - ChiSquared.CDF(degreesOfFreedom, Math.Max(0, sumOfSquares)) >= Unlikely;
}
