using System.Collections.Immutable;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// Adds up what a records document will do, as it streams by. For strokes, put a <see cref="ScalePass"/> in front.
/// Memory does not grow with the document.
/// </summary>
internal sealed class Estimator : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private readonly Machine machine;
    private readonly StrayScan? strays;
    private readonly double blurNanometres;
    private RecordsHeader? header;
    private SamplePlane plane;
    private RippleProbe? ripple;
    private LinkTrace? link;
    private StreamSize? pointStream;
    private StreamSize? lineStream;
    private (double X, double Y) beam;
    private long records;
    private long jumps;
    private long lines;
    private long points;
    private long exposingTicks;
    private long settlingTicks;
    private long waitingTicks;
    private long shortestDwell = long.MaxValue;
    private long longestDwell;
    private int lowX = int.MaxValue;
    private int highX = int.MinValue;
    private int lowY = int.MaxValue;
    private int highY = int.MinValue;
    private TriggerWaits? waits;
    private bool hasMarkers;
    private long figure = -1;
    private long figureTicks;
    private long fewestTicks = long.MaxValue;
    private long fewestFigure = -1;
    private string? field;
    private string? fewestField;
    private (double X, double Y) fewestAt;
    private (double X, double Y) exposed;

    /// <summary>Prepares an estimate. Clock, DAC and field are taken from the records themselves.</summary>
    /// <param name="machine">The machine.</param>
    /// <param name="resist">
    /// The resist: its forward scattering evens out ripple, and stray dose is compared with its onset; null to judge by the spot
    /// alone and leave stray lines out.
    /// </param>
    /// <param name="figures">Tells which figures jumps connect, for records without markers; null if that is not known.</param>
    public Estimator(Machine machine, Resist? resist = null, JumpFigures? figures = null)
    {
        this.machine = machine;

        // A beam spreads in the resist as it comes in: forward scattering evens out its lines and widens its tracks.
        blurNanometres = resist?.BlurNanometres(machine.Beam.SpotNanometres) ?? machine.Beam.SpotNanometres;
        if (resist is not null)
        {
            strays = StrayScan.For(machine, resist, figures);
        }
    }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        this.header = header;
        waits = TriggerWaits.For(header, machine);
        strays?.Begin(header);
        plane = new SamplePlane(header);
        ripple = new RippleProbe(plane, blurNanometres);
        link = new LinkTrace(machine.Link, header.ClockHertz);
        pointStream = new StreamSize(header, StreamProfile.Points, machine.Link.InterpolatesLines ? null : link);
        lineStream = new StreamSize(header, StreamProfile.Lines, machine.Link.InterpolatesLines ? link : null);
    }

    /// <summary>What follows is written from another position of the stage.</summary>
    /// <param name="name">Name of the write field.</param>
    public void BeginField(string name)
    {
        CloseFigure();
        ripple?.Close();
        figure = -1;
        field = name;
        waits?.BeginField();
        pointStream?.BeginStream();
        lineStream?.BeginStream();
        strays?.BeginField(name);
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        strays?.Write(items);
        foreach (ref readonly DeflectionRecord record in items)
        {
            Take(record);
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        CloseFigure();
        ripple?.Close();
        pointStream?.End();
        lineStream?.End();
    }

    /// <summary>The estimate, with its warnings.</summary>
    public ExposureEstimate ToEstimate()
    {
        RecordsHeader known = header ?? throw new InvalidOperationException("The records have not begun.");
        double tick = 1 / known.ClockHertz;
        double current = machine.Beam.CurrentAmperes;
        var estimate = new ExposureEstimate
        {
            MachineName = known.MachineName,
            Records = records,
            Jumps = jumps,
            Lines = lines,
            Points = points,
            ExposingSeconds = exposingTicks * tick,
            SettlingSeconds = settlingTicks * tick,
            WaitingSeconds = waitingTicks * tick,
            Triggers = Triggers(tick * current),
            PointStreamBytes = pointStream?.TotalBytes ?? 0,
            LineStreamBytes = lineStream?.TotalBytes ?? 0,
            StepXNanometres = plane.StepAlongX,
            StepYNanometres = plane.StepAlongY,
            SpotNanometres = machine.Beam.SpotNanometres,
            BlurNanometres = blurNanometres,
            SpacingX = ripple?.AlongX ?? default,
            SpacingY = ripple?.AlongY ?? default,
            ClockHertz = known.ClockHertz,
            MinimumDwellTicks = known.MinimumDwellTicks,
            MaximumDwellTicks = known.MaximumDwellTicks,
            ShortestDwellTicks = points > 0 ? shortestDwell : 0,
            LongestDwellTicks = longestDwell,
            Link = link!.ToEstimate(),
            InterpolatesLines = machine.Link.InterpolatesLines,
            ChargeCoulombs = exposingTicks * tick * current,
            Electrons = exposingTicks * tick * current / ExposureArithmetic.ElementaryChargeCoulombs,
            FewestElectrons = points > 0 ? fewestTicks * tick * current / ExposureArithmetic.ElementaryChargeCoulombs : 0,
            FewestElectronsFigure = fewestFigure,
            FewestElectronsField = fewestField,
            FewestElectronsAt = fewestAt,
            Field = FieldUse(known.Dac),
            Strays = strays?.ToReport(),
        };
        IEnumerable<Diagnostic> warnings = EstimateWarnings.Of(estimate);
        return estimate with { Warnings = [.. strays is not null && StrayText.UnknownOf(machine) is { } unknown ? warnings.Append(unknown) : warnings] };
    }

    private TriggerEstimate? Triggers(double coulombsPerTick) => waits?.ToEstimate(machine.Hum) is not { } found ? null
        : found with { LeakPart = points > 0 ? found.LeakCoulombs / (fewestTicks * coulombsPerTick) : 0 };

    private void Take(in DeflectionRecord record)
    {
        long ticks = record.TimedTicks;
        switch (record.Kind)
        {
            case RecordKind.Jump:
                jumps++;
                settlingTicks += record.Ticks;
                beam = plane.PlaceOf(record.X, record.Y);

                // Lines on both sides of a jump belong to different figures: nothing says how far apart they should be.
                ripple!.Close();
                if (!hasMarkers)
                {
                    CloseFigure();
                }

                break;
            case RecordKind.Wait:
                waitingTicks += record.Ticks;
                break;
            case RecordKind.Trigger:
                ticks = waits!.Wait();
                break;
            case RecordKind.Marker:
                if (!hasMarkers || record.Ticks != figure)
                {
                    CloseFigure();
                }

                hasMarkers = true;
                figure = record.Ticks;
                break;
            default:
                Expose(record);
                break;
        }

        var at = new BlockStart(records, figure, beam.X, beam.Y) { Field = field };
        pointStream!.Add(record, ticks, at);
        lineStream!.Add(record, ticks, at);
        waits?.See(record);
        records++;
    }

    private void Expose(in DeflectionRecord record)
    {
        lines += record.Kind == RecordKind.Line ? 1 : 0;
        points += record.Points;
        exposingTicks += record.Ticks;
        figureTicks += record.Ticks;
        shortestDwell = Math.Min(shortestDwell, LinePoints.ShortestDwell(record));
        longestDwell = Math.Max(longestDwell, LinePoints.LongestDwell(record));
        lowX = Math.Min(lowX, Math.Min(record.X, record.EndX));
        highX = Math.Max(highX, Math.Max(record.X, record.EndX));
        lowY = Math.Min(lowY, Math.Min(record.Y, record.EndY));
        highY = Math.Max(highY, Math.Max(record.Y, record.EndY));
        beam = plane.PlaceOf(record.EndX, record.EndY);
        exposed = beam;
        ripple!.See(record);
    }

    private void CloseFigure()
    {
        if (figureTicks > 0 && figureTicks < fewestTicks)
        {
            fewestTicks = figureTicks;
            (fewestFigure, fewestField, fewestAt) = (figure, field, exposed);
        }

        figureTicks = 0;
    }

    private FieldEstimate FieldUse(Dac dac)
    {
        if (points == 0)
        {
            return new FieldEstimate(0, 0, dac.CodeCount, 0, 0, 0, 0);
        }

        (double x0, double y0) = plane.PlaceOf(lowX, lowY);
        (double x1, double y1) = plane.PlaceOf(highX, highY);
        return new FieldEstimate(
            (highX - lowX + 1.0) / dac.CodeCount,
            (highY - lowY + 1.0) / dac.CodeCount,
            Math.Min(Math.Min(lowX, dac.CodeCount - 1 - highX), Math.Min(lowY, dac.CodeCount - 1 - highY)),
            Math.Min(x0, x1),
            Math.Min(y0, y1),
            Math.Max(x0, x1),
            Math.Max(y0, y1));
    }
}
