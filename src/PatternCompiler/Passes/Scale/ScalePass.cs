using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Timing;

namespace PatternCompiler.Passes.Scale;

/// <summary>
/// Turns strokes on the sample plane into deflection records: positions into DAC codes, charge into clock ticks, jumps
/// into jumps with their settling time. Streams: takes strokes and pushes records on.
/// </summary>
/// <remarks>
/// A position that no code reaches, or a dwell that the controller cannot make, is an error; nothing is ever clamped.
/// A line stays one record where the calibration keeps lines straight: its end points are rounded to codes, and the points
/// between follow the record's own rule, which is within one code of the exact place in each axis. In a distorted field it
/// becomes as many records as it takes to follow the bend. A pass is a jump
/// record that is waited for only until the beam has covered most of its way.
/// </remarks>
internal sealed class ScalePass : IDocumentSink<StrokesHeader, Stroke>
{
    private const int BatchSize = 512;

    private readonly ScaleOptions options;
    private readonly IDocumentSink<RecordsHeader, DeflectionRecord> output;
    private readonly DacMapping mapping;
    private readonly CodeRange usableX;
    private readonly CodeRange usableY;
    private readonly SettleTime settling;
    private readonly ScanMemory? memory;
    private readonly TickCarry carry = new();
    private readonly Func<long>? elapsedAfter;
    private readonly bool writesMarkers;
    private long elapsedTicks;
    private long lastX;
    private long lastY;
    private readonly DeflectionRecord[] batch = new DeflectionRecord[BatchSize];
    private readonly List<int> runEnds = [];
    private int batched;
    private int figure = -1;
    private bool hasPosition;
    private bool isPassing;

    // Where the beam is, in codes; between two codes while a jump is passed.
    private double codeX;
    private double codeY;

    /// <summary>Scales into <paramref name="output"/>.</summary>
    /// <param name="options">Machine and markers.</param>
    /// <param name="output">Takes the records.</param>
    /// <param name="elapsedAfter">Time that records take behind what follows scaling, which may add to it; null if nothing does.</param>
    public ScalePass(ScaleOptions options, IDocumentSink<RecordsHeader, DeflectionRecord> output, Func<long>? elapsedAfter = null)
    {
        this.options = options;
        this.elapsedAfter = elapsedAfter;
        writesMarkers = options.WritesMarkers;
        IDocumentSink<RecordsHeader, DeflectionRecord> timed = output;
        if (options.Blanker is { IsCompensated: true } blanker)
        {
            // Markers tell it the figures; they go no further than asked.
            var timing = new BlankerTiming(blanker, options.WritesMarkers ? output : new WithoutMarkers(output))
            {
                ReachCodes = options.BlankerReachCodes,
                MeanTriggerTicks = options.Trigger?.MeanWaitTicks(options.Clock.Hertz) ?? 0,
            };
            (timed, writesMarkers, this.elapsedAfter) = (timing, true, () => timing.ElapsedTicks);
        }

        this.output = options.Composite is CompositeDac composite ? new SubfieldPass(composite, options.Clock.Hertz, timed) : timed;
        mapping = new DacMapping(options.Dac, options.Deflection);
        (usableX, usableY) = (mapping.UsableX, mapping.UsableY);
        memory = options.Settle.IsSum ? new ScanMemory(options.Settle, options.Clock.Hertz, mapping) : null;
        settling = new SettleTime(options.Settle, options.Clock.Hertz, mapping);
    }

    /// <summary>Header of the records that scaling makes with these options.</summary>
    public static RecordsHeader HeaderOf(ScaleOptions options)
    {
        var mapping = new DacMapping(options.Dac, options.Deflection);
        return new RecordsHeader(
            options.MachineName,
            options.Dac,
            options.Clock.Hertz,
            options.Clock.MinimumDwellTicks,
            options.Clock.MaximumDwellTicks,
            mapping.NanometresPerCodeX,
            mapping.NanometresPerCodeY,
            options.Deflection.SwapAxes)
        {
            BlankLevel = options.BlankLevel,
            MadeFor = options.MadeFor,
        };
    }

    /// <inheritdoc/>
    public void Begin(StrokesHeader header)
    {
        if (header.WaitsForTrigger && options.Trigger is null)
        {
            throw new CompileException(
                ScaleCodes.NoTrigger,
                $"the strokes wait for the trigger input, but the machine '{options.MachineName}' has none",
                fix: "add 'trigger' to the machine file if the controller has such an input, or fill again with 'fill.trigger' at none");
        }

        RecordsHeader made = HeaderOf(options);
        output.Begin(made with { MadeFor = made.MadeFor with { Exposure = header.Exposure }, WaitsForTrigger = header.WaitsForTrigger });
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items)
    {
        foreach (ref readonly Stroke stroke in items)
        {
            Scale(stroke);
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        Flush();
        output.End();
    }

    private void Scale(in Stroke stroke)
    {
        if (stroke.Figure != figure)
        {
            figure = stroke.Figure;
            if (writesMarkers)
            {
                Push(DeflectionRecord.Marker(figure));
            }
        }

        // The beam must rest before it goes on, whatever the strokes say.
        if (stroke.IsBlanked || !hasPosition || isPassing)
        {
            Jump(stroke, isPassed: stroke.Kind == StrokeKind.Via);
            if (stroke.Kind == StrokeKind.Await)
            {
                Await(stroke.WaitPicoseconds);
            }

            if (stroke.IsBlanked)
            {
                return;
            }
        }

        double exactTicks = TicksFor(stroke.ChargeZeptocoulombs);
        long ticks = carry.Round(figure, exactTicks);
        if (ticks / stroke.Points < options.Clock.MinimumDwellTicks)
        {
            ScaleFault.ThrowTooShort(stroke, exactTicks, options.Clock, options.Beam);
        }

        if ((ticks + stroke.Points - 1) / stroke.Points > options.Clock.MaximumDwellTicks)
        {
            ScaleFault.ThrowTooLong(stroke, exactTicks, options.Clock, options.Beam);
        }

        if (memory is not null)
        {
            memory.Expose(stroke, lastX, lastY, exactTicks / options.Clock.Hertz);
        }

        Stroke sent = options.Settle.CancelsLag && memory is null
            ? LagLead.Apply(stroke, lastX, lastY, exactTicks / options.Clock.Hertz, options.Settle.TimeConstantSeconds)
            : stroke;
        (lastX, lastY) = (stroke.EndXFemtometres, stroke.EndYFemtometres);
        Expose(sent, ticks);
    }

    private void Await(long waitPicoseconds)
    {
        const double SecondsPerPicosecond = 1e-12;
        Push(DeflectionRecord.Trigger(options.Trigger!.LongestWaitTicks(options.Clock.Hertz)));
        elapsedTicks += options.Trigger.MeanWaitTicks(options.Clock.Hertz);
        if (waitPicoseconds > 0)
        {
            Push(DeflectionRecord.Wait((long)Math.Round(waitPicoseconds * SecondsPerPicosecond * options.Clock.Hertz)));
        }
    }

    private double TicksFor(long chargeZeptocoulombs)
    {
        double hertz = options.Clock.Hertz;
        if (options.Beam.Later is null)
        {
            return chargeZeptocoulombs * (ExposureArithmetic.CoulombsPerZeptocoulomb / options.Beam.CurrentAmperes * hertz);
        }

        if (elapsedAfter is not null)
        {
            Flush();
            elapsedTicks = elapsedAfter();
        }

        return options.Beam.SecondsFor(chargeZeptocoulombs * ExposureArithmetic.CoulombsPerZeptocoulomb, elapsedTicks / hertz) * hertz;
    }

    private void Expose(in Stroke stroke, long ticks)
    {
        if (memory is { CancelsLag: true } && stroke.Points > 1)
        {
            PushBent(stroke, ticks);
            return;
        }

        (long atX, long atY) = PointOf(stroke, 0);
        (int x, int y) = CodeFor(stroke, atX, atY);
        if (stroke.Points == 1)
        {
            Push(DeflectionRecord.Dot(x, y, ticks));
            (codeX, codeY) = (x, y);
        }
        else if (mapping.KeepsLinesStraight)
        {
            (int endX, int endY) = CodeFor(stroke, stroke.EndXFemtometres, stroke.EndYFemtometres);
            Push(DeflectionRecord.Line(x, y, endX, endY, stroke.Points, ticks));
            (codeX, codeY) = (endX, endY);
        }
        else
        {
            PushBent(stroke, ticks);
        }
    }

    // Runs share no point: a run after the first begins one point after the end of the one before.
    private void PushBent(in Stroke stroke, long ticks)
    {
        Stroke line = stroke;
        runEnds.Clear();
        BentLine.Divide(RealCodes, 0, line.Points - 1, runEnds);
        int first = 0;
        foreach (int last in runEnds)
        {
            int points = last - first + 1;
            long runTicks = (long)((Int128)ticks * (last + 1) / line.Points - (Int128)ticks * first / line.Points);
            (int x, int y) = Code(first);
            (int endX, int endY) = Code(last);
            Push(points == 1 ? DeflectionRecord.Dot(x, y, runTicks) : DeflectionRecord.Line(x, y, endX, endY, points, runTicks));
            (codeX, codeY) = (endX, endY);
            first = last + 1;
        }

        (double X, double Y) RealCodes(int point)
        {
            (long x, long y) = PointOf(line, point);
            return RealCodesFor(line, x, y);
        }

        (int X, int Y) Code(int point)
        {
            (long x, long y) = PointOf(line, point);
            return CodeFor(line, x, y);
        }
    }

    // Where a point is commanded: ahead of its place where the lag of a sum of exponentials is cancelled.
    private (long X, long Y) PointOf(in Stroke stroke, int point)
    {
        (long x, long y) = (Along(stroke.XFemtometres, stroke.EndXFemtometres, stroke.Points), Along(stroke.YFemtometres, stroke.EndYFemtometres, stroke.Points));
        if (memory is not { CancelsLag: true })
        {
            return (x, y);
        }

        (long leadX, long leadY) = memory.LeadOf(point);
        return (x + leadX, y + leadY);

        long Along(long start, long end, int points) => points == 1 ? start : start + (long)((Int128)(end - start) * point / (points - 1));
    }

    private void Jump(in Stroke stroke, bool isPassed)
    {
        (int x, int y) = CodeFor(stroke, stroke.XFemtometres, stroke.YFemtometres);
        (lastX, lastY) = (stroke.XFemtometres, stroke.YFemtometres);
        double left = Math.Abs(x - codeX);
        double up = Math.Abs(y - codeY);
        isPassing = isPassed && hasPosition;
        if (isPassing)
        {
            double stepX = Math.Abs(mapping.NanometresPerCodeX);
            double stepY = Math.Abs(mapping.NanometresPerCodeY);
            long ticks = settling.TicksToPass(left * stepX, up * stepY, options.Clock.MinimumDwellTicks);
            double seconds = ticks / options.Clock.Hertz;
            Push(DeflectionRecord.Jump(x, y, ticks));
            memory?.Pass(stroke.XFemtometres, stroke.YFemtometres, ticks);
            (codeX, codeY) = (x + settling.CodesLeft(codeX - x, isOfY: false, seconds), y + settling.CodesLeft(codeY - y, isOfY: true, seconds));
            return;
        }

        // Where the beam rests before the first jump is unknown: settle as if it came from the far end of the range.
        long settle = hasPosition
            ? settling.TicksAfter((long)Math.Ceiling(left), (long)Math.Ceiling(up))
            : settling.TicksAfter(options.Dac.CodeCount, options.Dac.CodeCount);
        if (memory is not null)
        {
            settle = memory.Jump(stroke.XFemtometres, stroke.YFemtometres, settle);
        }

        Push(DeflectionRecord.Jump(x, y, settle));
        (codeX, codeY, hasPosition) = (x, y, true);
    }

    private (int X, int Y) CodeFor(in Stroke stroke, long xFemtometres, long yFemtometres)
    {
        (double realX, double realY) = RealCodesFor(stroke, xFemtometres, yFemtometres);
        long x = DacMapping.Nearest(realX);
        long y = DacMapping.Nearest(realY);
        if (!usableX.Holds(x) || !usableY.Holds(y))
        {
            ScaleFault.ThrowOutOfReach(stroke, xFemtometres, yFemtometres, mapping, realX, realY);
        }

        return ((int)x, (int)y);
    }

    private (double X, double Y) RealCodesFor(in Stroke stroke, long xFemtometres, long yFemtometres)
    {
        (double x, double y) = mapping.CodesAt(xFemtometres, yFemtometres);
        if (double.IsNaN(x))
        {
            ScaleFault.ThrowOutsideCalibration(stroke, xFemtometres, yFemtometres);
        }

        return (x, y);
    }

    private void Push(in DeflectionRecord record)
    {
        elapsedTicks += record.TimedTicks;
        batch[batched++] = record;
        if (batched == BatchSize)
        {
            Flush();
        }
    }

    private void Flush()
    {
        output.Write(batch.AsSpan(0, batched));
        batched = 0;
    }
}
