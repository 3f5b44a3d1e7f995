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
    private long exposedUntil;
    private long exposedFrom;
    private (long From, long Until) longest;
    private long waits;
    private double waitedTicks;
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

    /// <summary>For a machine with a trigger input; null for one without. Of several write fields some may wait and others not.</summary>
    /// <exception cref="Diagnostics.CompileException">The records wait, and the machine has no such input.</exception>
    public static TriggerWaits? For(RecordsHeader header, Machine machine) =>
        header.WaitsForTrigger || machine.Trigger is not null ? new(TriggerEdges.InputFor(header, machine), machine, header.ClockHertz) : null;

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
        (hasEdge, sinceEdge, exposedUntil) = (true, 0, 0);
        return (long)Math.Round(ticks);
    }

    /// <summary>A record of any kind passes; a trigger after its wait.</summary>
    public void See(in DeflectionRecord record)
    {
        if (record.Points > 0)
        {
            exposedFrom = exposedUntil == 0 ? sinceEdge : exposedFrom;
            exposedUntil = sinceEdge + record.Ticks;
        }

        sinceEdge += record.TimedTicks;
    }

    /// <summary>All of them, and what hum the machine has after its edges; null if there were none.</summary>
    public TriggerEstimate? ToEstimate(Hum? hum)
    {
        if (waits == 0)
        {
            return null;
        }

        EndUnit();
        hasEdge = false;
        double seconds = (longest.Until - longest.From) / clockHertz;
        return new TriggerEstimate(waits, waitedTicks / clockHertz, waits * input.PeriodSeconds, seconds, units > 0 ? unitTicks / units / clockHertz : 0)
        {
            LeakCoulombs = leak * currentAmperes * input.PeriodSeconds,
            Hum = hum is null || units == 0 ? null : HumSwing.Between(hum, longest.From / clockHertz, seconds),
        };
    }

    private void EndUnit()
    {
        if (!hasEdge || exposedUntil == 0)
        {
            return;
        }

        longest = exposedUntil - exposedFrom > longest.Until - longest.From ? (exposedFrom, exposedUntil) : longest;
        unitTicks += exposedUntil - exposedFrom;
        units++;
        exposedUntil = 0;
    }
}

/// <summary>Waits for the trigger input.</summary>
/// <param name="Waits">Their number.</param>
/// <param name="ExpectedSeconds">Time that they take together, as expected.</param>
/// <param name="MostSeconds">Time that they take at most: a period each.</param>
/// <param name="LongestUnitSeconds">From the first exposure after an edge to the end of the last one before the next wait, at most.</param>
/// <param name="MeanUnitSeconds">The same on average.</param>
public sealed record TriggerEstimate(long Waits, double ExpectedSeconds, double MostSeconds, double LongestUnitSeconds, double MeanUnitSeconds)
{
    /// <summary>Charge that the closed blanker lets through during a wait of a period.</summary>
    public double LeakCoulombs { get; init; }

    /// <summary>That as a part of the charge of the least exposed figure.</summary>
    public double LeakPart { get; init; }

    /// <summary>How far the hum moves the beam within the longest unit; null where the machine states none.</summary>
    public HumSwing? Hum { get; init; }
}

/// <summary>How far the hum moves the beam within a part of the mains period.</summary>
/// <param name="XNanometres">From the lowest to the highest place along x.</param>
/// <param name="YNanometres">Along y.</param>
public readonly record struct HumSwing(double XNanometres, double YNanometres)
{
    private const int Samples = 2000;

    /// <summary>From a time after an edge on; what is longer than a period is a period.</summary>
    internal static HumSwing Between(Hum hum, double fromSeconds, double forSeconds)
    {
        double length = Math.Min(forSeconds, 1 / hum.Hertz);
        (double left, double right, double bottom, double top) = (double.MaxValue, double.MinValue, double.MaxValue, double.MinValue);
        for (int i = 0; i <= Samples; i++)
        {
            (double x, double y) = hum.At(fromSeconds + length * i / Samples);
            (left, right, bottom, top) = (Math.Min(left, x), Math.Max(right, x), Math.Min(bottom, y), Math.Max(top, y));
        }

        return new(right - left, top - bottom);
    }
}
