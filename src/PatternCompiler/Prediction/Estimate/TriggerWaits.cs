using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// Counts waits for the trigger and how long they take. The first one begins at any time and takes half a period on average; behind
/// an edge the time until the next wait is known, and so is what is left of the period, as far as the mains keeps its frequency.
/// </summary>
internal sealed class TriggerWaits
{
    private readonly TriggerInput input;
    private readonly double clockHertz;
    private readonly double currentAmperes;
    private readonly double leak;
    private readonly double periodTicks;
    private bool hasEdge;
    private long sinceEdge;
    private long exposedSinceEdge;
    private long firstExposed = long.MaxValue;
    private long waits;
    private double waitedTicks;
    private long longestUnit;
    private double unitTicks;
    private long units;

    private TriggerWaits(TriggerInput input, Machine machine, double clockHertz)
    {
        this.input = input;
        this.clockHertz = clockHertz;
        currentAmperes = machine.Beam.CurrentAmperes;
        leak = machine.Blanker.LeakFraction;
        periodTicks = input.PeriodSeconds * clockHertz;
    }

    /// <summary>For records that wait; null for others.</summary>
    /// <exception cref="Diagnostics.CompileException">They wait, and the machine has no trigger input.</exception>
    public static TriggerWaits? For(RecordsHeader header, Machine machine) =>
        header.WaitsForTrigger ? new(TriggerEdges.InputFor(header, machine), machine, header.ClockHertz) : null;

    /// <summary>The stage moves, which takes as long as it takes.</summary>
    public void BeginField()
    {
        EndUnit();
        hasEdge = false;
    }

    /// <summary>A wait for an edge; its ticks as expected.</summary>
    public long Wait()
    {
        EndUnit();
        double ticks = hasEdge ? periodTicks - sinceEdge % periodTicks : periodTicks / 2;
        waits++;
        waitedTicks += ticks;
        (hasEdge, sinceEdge, exposedSinceEdge) = (true, 0, 0);
        return (long)Math.Round(ticks);
    }

    /// <summary>A record of any kind passes; a trigger after its wait.</summary>
    public void See(in DeflectionRecord record)
    {
        if (record.Points > 0)
        {
            firstExposed = hasEdge && exposedSinceEdge == 0 ? Math.Min(firstExposed, sinceEdge) : firstExposed;
            exposedSinceEdge = sinceEdge + record.Ticks;
        }

        sinceEdge += record.TimedTicks;
    }

    /// <summary>All of them, and what hum the machine has after its edges.</summary>
    public TriggerEstimate ToEstimate(Hum? hum)
    {
        EndUnit();
        hasEdge = false;
        double longest = longestUnit / clockHertz;
        return new TriggerEstimate(waits, waitedTicks / clockHertz, waits * input.PeriodSeconds, longest, units > 0 ? unitTicks / units / clockHertz : 0)
        {
            LeakCoulombs = leak * currentAmperes * input.PeriodSeconds,
            Hum = hum is null || units == 0 ? null : HumEstimate.Between(hum, firstExposed / clockHertz, longest),
        };
    }

    private void EndUnit()
    {
        if (!hasEdge || exposedSinceEdge == 0)
        {
            return;
        }

        longestUnit = Math.Max(longestUnit, exposedSinceEdge);
        unitTicks += exposedSinceEdge;
        units++;
        exposedSinceEdge = 0;
    }
}

/// <summary>Waits for the trigger input.</summary>
/// <param name="Waits">Their number.</param>
/// <param name="ExpectedSeconds">Time that they take together, as expected.</param>
/// <param name="MostSeconds">Time that they take at most: a period each.</param>
/// <param name="LongestUnitSeconds">From an edge to the end of the last exposure before the next wait, at most.</param>
/// <param name="MeanUnitSeconds">The same on average.</param>
public sealed record TriggerEstimate(long Waits, double ExpectedSeconds, double MostSeconds, double LongestUnitSeconds, double MeanUnitSeconds)
{
    /// <summary>Charge that the closed blanker lets through during a wait of a period.</summary>
    public double LeakCoulombs { get; init; }

    /// <summary>That as a part of the charge of the least exposed figure.</summary>
    public double LeakPart { get; init; }

    /// <summary>What the hum does between an edge and the end of the longest unit; null where the machine states none.</summary>
    public HumEstimate? Hum { get; init; }
}

/// <summary>Where the hum takes the beam within a part of the mains period.</summary>
/// <param name="SwingXNanometres">From the lowest to the highest place along x.</param>
/// <param name="SwingYNanometres">Along y.</param>
/// <param name="MiddleXNanometres">Halfway between them: a move of all that is written.</param>
/// <param name="MiddleYNanometres">Along y.</param>
public readonly record struct HumEstimate(double SwingXNanometres, double SwingYNanometres, double MiddleXNanometres, double MiddleYNanometres)
{
    private const int Samples = 2000;

    /// <summary>Between two times after an edge; longer than a period is a period.</summary>
    internal static HumEstimate Between(Hum hum, double fromSeconds, double toSeconds)
    {
        double length = Math.Min(toSeconds - fromSeconds, 1 / hum.Hertz);
        (double left, double right, double bottom, double top) = (double.MaxValue, double.MinValue, double.MaxValue, double.MinValue);
        for (int i = 0; i <= Samples; i++)
        {
            (double x, double y) = hum.At(fromSeconds + length * i / Samples);
            (left, right, bottom, top) = (Math.Min(left, x), Math.Max(right, x), Math.Min(bottom, y), Math.Max(top, y));
        }

        return new(right - left, top - bottom, (left + right) / 2, (bottom + top) / 2);
    }
}
