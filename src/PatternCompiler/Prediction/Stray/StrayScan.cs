using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Stray;

/// <summary>
/// Looks at every jump of a records document as it streams by, and finds those that would draw a line: because the blanker
/// leaks, is late, or is missing. The beam slows down exponentially near its goal, where a leak does most harm; a late blanker
/// does its harm where the jump begins.
/// </summary>
public sealed class StrayScan : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private const int MostKept = 1000;
    private const int Parts = 64;

    // The ends of a jump are exposed anyway, as far as the beam is wide.
    private const double EndsInDeviations = 3;
    private const double ShortestLineInDeviations = 2.35;
    private readonly Machine machine;
    private readonly double deviation;
    private readonly double onset;
    private readonly PriorityQueue<StrayJump, (double, long)> worst = new();
    private SamplePlane plane;
    private (double X, double Y)? beam;
    private bool isExposing;
    private long records;
    private long jumps;
    private long printing;
    private double printedLength;
    private double largest;

    /// <summary>Prepares a scan.</summary>
    /// <param name="machine">Blanker, beam and deflection.</param>
    /// <param name="deviationNanometres">Standard deviation of the beam with its forward scattering.</param>
    /// <param name="onsetCoulombsPerSquareMetre">Dose at which the resist starts to react.</param>
    public StrayScan(Machine machine, double deviationNanometres, double onsetCoulombsPerSquareMetre)
    {
        this.machine = machine;
        deviation = deviationNanometres;
        onset = onsetCoulombsPerSquareMetre;
    }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header) => plane = new SamplePlane(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        foreach (ref readonly DeflectionRecord record in items)
        {
            switch (record.Kind)
            {
                case RecordKind.Jump:
                    Jump(plane.PlaceOf(record.X, record.Y));
                    isExposing = false;
                    break;
                case RecordKind.Dot or RecordKind.Line:
                    beam = plane.PlaceOf(record.EndX, record.EndY);
                    isExposing = true;
                    break;
                case RecordKind.Wait:
                    isExposing = false;
                    break;
                default:
                    break;
            }

            records++;
        }
    }

    /// <inheritdoc/>
    public void End()
    {
    }

    /// <summary>What was found.</summary>
    public StrayReport ToReport() => new(
        jumps,
        printing,
        printedLength,
        largest,
        [
            .. worst.UnorderedItems.Select(item => item.Element)
                .OrderByDescending(jump => jump.PeakDoseCoulombsPerSquareMetre * jump.PrintedLengthNanometres)
                .ThenBy(jump => jump.Record),
        ]);

    /// <summary>The warning if any jump would print, or null.</summary>
    public static Diagnostic? WarningOf(StrayReport report)
    {
        if (report.Printing == 0)
        {
            return null;
        }

        StrayJump first = report.Worst[0];
        return new Diagnostic(
            PredictionCodes.StrayLines,
            Severity.Warning,
            $"{report.Printing} of {report.Jumps} jumps would print a line, {Length(report.PrintedLengthNanometres)} in all; the worst is {Length(first.PrintedLengthNanometres)} long and {Length(first.PrintedWidthNanometres)} wide with {QuantityText.Format(first.PeakDoseCoulombsPerSquareMetre, Dimension.AreaDose, 3)}, {Because(first.Cause)}",
            Fix: "order the figures so that jumps run over exposed ground, jump faster, use less beam current, or mend the blanker");
    }

    private static string Length(double nanometres) => QuantityText.Format(nanometres * 1e-9, Dimension.Length, 3);

    private static string Because(StrayCause cause) => cause switch
    {
        StrayCause.Leak => "because the blanker leaks",
        StrayCause.LateBlanking => "because the blanker is late",
        _ => "because there is no blanker",
    };

    private void Jump((double X, double Y) to)
    {
        jumps++;
        if (beam is { } from)
        {
            double dx = to.X - from.X;
            double dy = to.Y - from.Y;
            double length = Math.Sqrt(dx * dx + dy * dy);
            if (length > 2 * EndsInDeviations * deviation)
            {
                Judge(from, to, length);
            }
        }

        beam = to;
    }

    private void Judge((double X, double Y) from, (double X, double Y) to, double length)
    {
        double tau = machine.Settle.TimeConstantSeconds;
        double slew = machine.Settle.SlewNanometresPerSecond;
        if (tau == 0 && slew == 0)
        {
            // The beam is there at once: there is no track.
            return;
        }

        double end = EndsInDeviations * deviation;
        double part = (length - 2 * end) / Parts;
        double peak = 0;
        double printed = 0;
        StrayCause cause = StrayCause.Leak;
        for (int i = 0; i < Parts; i++)
        {
            double at = end + (i + 0.5) * part;
            (double seconds, double speed) = Passing(at, length, tau, slew);
            double current = CurrentAfter(seconds, out StrayCause why);
            double dose = StrayDose.PeakOfTrack(current, speed, deviation);
            printed += dose >= onset ? part : 0;
            if (dose > peak)
            {
                (peak, cause) = (dose, why);
            }
        }

        largest = Math.Max(largest, peak);

        // What is shorter than the beam is wide is no line.
        if (printed > ShortestLineInDeviations * deviation)
        {
            printing++;
            printedLength += printed;
            Keep(new StrayJump(
                records, from.X, from.Y, to.X, to.Y, peak, printed, StrayDose.PrintedWidth(peak, onset, deviation), cause));
        }
    }

    /// <summary>When the beam passes a place on a straight jump, and how fast.</summary>
    private static (double Seconds, double Speed) Passing(double at, double length, double tau, double slew)
    {
        double handOver = slew > 0 ? Math.Min(length, slew * tau) : length;
        double slewed = length - handOver;
        if (at <= slewed)
        {
            return (at / slew, slew);
        }

        double left = length - at;
        return ((slewed > 0 ? slewed / slew : 0) + tau * Math.Log(handOver / left), left / tau);
    }

    private double CurrentAfter(double seconds, out StrayCause cause)
    {
        double full = machine.Beam.CurrentAmperes;
        if (!machine.Blanker.IsPresent)
        {
            cause = StrayCause.NoBlanker;
            return full;
        }

        if (isExposing && seconds < machine.Blanker.OffDelaySeconds)
        {
            cause = StrayCause.LateBlanking;
            return full;
        }

        cause = StrayCause.Leak;
        return full * machine.Blanker.LeakFraction;
    }

    private void Keep(StrayJump jump)
    {
        worst.Enqueue(jump, (jump.PeakDoseCoulombsPerSquareMetre * jump.PrintedLengthNanometres, -jump.Record));
        if (worst.Count > MostKept)
        {
            worst.Dequeue();
        }
    }
}
