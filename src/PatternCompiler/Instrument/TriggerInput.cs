namespace PatternCompiler.Instrument;

/// <summary>An input of the controller whose edges records can wait for, such as the mains.</summary>
/// <param name="Hertz">Edges per second: of the mains one in each period.</param>
/// <param name="LongestWaitSeconds">Without an edge for so long the beam goes off and the exposure ends with a fault.</param>
public sealed record TriggerInput(double Hertz, double LongestWaitSeconds)
{
    /// <summary>Time from edge to edge.</summary>
    public double PeriodSeconds => 1 / Hertz;

    /// <summary>Ticks of a clock after which no edge is waited for any more.</summary>
    internal long LongestWaitTicks(double clockHertz) => (long)Math.Ceiling(LongestWaitSeconds * clockHertz * (1 - 1e-12));

    /// <summary>Ticks of a clock that a wait takes on average, if it begins at any time: half a period.</summary>
    internal long MeanWaitTicks(double clockHertz) => (long)Math.Round(PeriodSeconds / 2 * clockHertz);

    internal double[] Numbers => [Hertz, LongestWaitSeconds];
}
