using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;

namespace PatternCompiler.VirtualLab.Microscope;

/// <summary>
/// A slow meter behind a Faraday cup. The cup's edge runs along y, and what falls at smaller x is in it. A stream is played once, and what has
/// fallen into the cup by then is told for some times; a mean current is the difference of two over the time between, and reads with the meter's noise.
/// </summary>
/// <param name="truth">The lab.</param>
/// <param name="edgeNanometres">The cup lies at smaller x than this.</param>
/// <param name="dice">For the noise.</param>
/// <param name="errorPicoamperes">Standard error of a reading.</param>
public sealed class Ammeter(LabTruth truth, double edgeNanometres, Dice dice, double errorPicoamperes)
{
    private readonly BlankerState blanker = new(truth.Blanker);
    private double time;
    private double charge;
    private double x;
    private double goal;
    private double goalTime;

    /// <summary>What the meter shows of a mean current, in picoamperes.</summary>
    public double Read(double picoamperes) => picoamperes + dice.Normal(0, errorPicoamperes);

    /// <summary>Charge that has fallen into the cup by some times of a stream, in picoampere seconds; the times rise.</summary>
    public double[] ChargeBy(DecodedExposure stream, IReadOnlyList<double> times)
    {
        var outputs = new Outputs(truth, stream.Header);
        double hertz = stream.Header.ClockHertz;
        var charges = new double[times.Count];
        int next = 0;
        long ticks = 0;
        foreach (StreamRecord record in stream.Records)
        {
            if (record.Kind is not (RecordKind.Jump or RecordKind.Wait or RecordKind.Dot))
            {
                continue;
            }

            blanker.Switch(record.Kind == RecordKind.Dot, time);
            if (record.Kind != RecordKind.Wait)
            {
                (double voltsX, double voltsY) = outputs.VoltsAt(record.X, record.Y);
                (x, goal, goalTime) = (PlaceAt(time), truth.Field.PlaceOf(voltsX, voltsY).X, time);
            }

            ticks += record.Ticks;
            for (; next < times.Count && times[next] < ticks / hertz; next++)
            {
                Run(times[next]);
                charges[next] = charge;
            }

            Run(ticks / hertz);
        }

        blanker.Switch(false, time);
        for (; next < times.Count; next++)
        {
            Run(times[next]);
            charges[next] = charge;
        }

        return charges;
    }

    // Charge in picoampere seconds.
    private void Run(double until)
    {
        while (time < until)
        {
            double crossing = Crossing();
            (double stop, double first, double last) = blanker.Stretch(time, crossing > time ? Math.Min(until, crossing) : until);
            if (PlaceAt((time + stop) / 2) < edgeNanometres)
            {
                charge += (first + last) / 2 * truth.Column.CurrentAt((time + stop) / 2) * (stop - time);
            }

            time = stop;
        }
    }

    private double PlaceAt(double at)
    {
        double constant = truth.Field.TimeConstantSeconds;
        return constant > 0 ? goal + ((x - goal) * Math.Exp(-(at - goalTime) / constant)) : goal;
    }

    // When the deflection passes the edge on its way; nothing where it does not.
    private double Crossing()
    {
        double part = (edgeNanometres - goal) / (x - goal);
        return truth.Field.TimeConstantSeconds > 0 && part is > 0 and < 1 ? goalTime - (truth.Field.TimeConstantSeconds * Math.Log(part)) : double.NegativeInfinity;
    }
}
