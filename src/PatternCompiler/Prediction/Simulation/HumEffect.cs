using PatternCompiler.Instrument;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>What the hum does to a print: the same exposure with and without it.</summary>
/// <param name="Hum">The hum.</param>
/// <param name="StartDegrees">Phase of the mains when writing starts.</param>
/// <param name="Shift">How it moves the charge.</param>
internal sealed record HumEffect(Hum Hum, double StartDegrees, HumShift Shift)
{
    /// <summary>Edges as they would print without it; null if no layout was given.</summary>
    public EdgeErrorReport? Still { get; init; }

    /// <summary>Places that print with and without it.</summary>
    public long Places { get; init; }

    /// <summary>Root mean square of how far it moves their edges.</summary>
    public double RootMeanSquareNanometres { get; init; }

    /// <summary>The place whose edge it moves farthest: how far the edge lies outside where it would lie without hum.</summary>
    public EdgeError Worst { get; init; }

    /// <summary>With edges that print, compared place by place.</summary>
    /// <param name="moved">With hum, every place kept.</param>
    /// <param name="still">Without, likewise.</param>
    public HumEffect Compare(EdgeErrorReport moved, EdgeErrorReport still)
    {
        var without = new Dictionary<(double, double), double>();
        foreach (EdgeError place in still.Places)
        {
            without[(place.XNanometres, place.YNanometres)] = place.Nanometres;
        }

        long count = 0;
        double squares = 0;
        EdgeError worst = default;
        foreach (EdgeError place in moved.Places)
        {
            if (without.TryGetValue((place.XNanometres, place.YNanometres), out double before))
            {
                EdgeError move = place with { Nanometres = place.Nanometres - before };
                count++;
                squares += move.Nanometres * move.Nanometres;
                worst = Math.Abs(move.Nanometres) > Math.Abs(worst.Nanometres) ? move : worst;
            }
        }

        return this with { Still = still, Places = count, RootMeanSquareNanometres = count > 0 ? Math.Sqrt(squares / count) : 0, Worst = worst };
    }
}
