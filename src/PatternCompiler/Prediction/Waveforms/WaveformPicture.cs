using System.Collections.Immutable;
using PatternCompiler.Instrument;
using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Waveforms;

/// <summary>The lines of a controller over time, as a picture before it has a file format.</summary>
/// <param name="Width">Width in pixels.</param>
/// <param name="Height">Height in pixels; 0 lets the width decide.</param>
/// <param name="Title">Title line.</param>
/// <param name="Facts">What stands below the title; broken into lines where it is too long.</param>
/// <param name="Legend">What the kinds of lines mean.</param>
/// <param name="Time">The time axis.</param>
/// <param name="Panels">The strips, from the top.</param>
internal sealed record WaveformPicture(
    int Width,
    int Height,
    string Title,
    string Facts,
    ImmutableArray<(CurveLook Look, string Text)> Legend,
    PlotAxis Time,
    ImmutableArray<WaveformPanel> Panels)
{
    private const double OutputShare = 0.33;
    private const double LineShare = 0.17;
    private const int MostTicks = 5;
    private static readonly (double Seconds, string Name)[] TimeUnits = [(1, "s"), (1e-3, "ms"), (1e-6, "µs"), (1e-9, "ns")];

    /// <summary>Draws what was sampled.</summary>
    /// <param name="waves">The lines.</param>
    /// <param name="options">Title and size.</param>
    /// <param name="measured">Measured traces to lay over, in the exposure's time; empty for none.</param>
    public static WaveformPicture Of(Waveforms waves, PictureOptions options, ImmutableArray<PlacedTrace> measured)
    {
        double tick = 1 / waves.Header.ClockHertz;
        double from = waves.StartSeconds;
        double to = waves.EndSeconds;
        bool isFarOut = from > 1e3 * (to - from);
        double zero = isFarOut ? from : 0;
        (double unit, string unitName) = TimeUnits.FirstOrDefault(u => Math.Max(Math.Abs(from - zero), to - zero) >= 2 * u.Seconds, TimeUnits[^1]);
        var time = new PlotAxis(isFarOut ? $"time after {FactText.Round(from, 12)} s ({unitName})" : $"time ({unitName})", (from - zero) / unit, (to - zero) / unit);
        return new WaveformPicture(
            options.WidthPixels,
            options.HeightPixels,
            FactText.Join(options.Title, "traces"),
            FactText.Join(
                waves.Window.IsUsual && waves.LastRecord + 1 < waves.Records ? $"the first {TraceWindow.UsualRecords} of {FactText.Count(waves.Records, "record", "records")}"
                    : $"records {FactText.Grouped(waves.FirstRecord)} to {FactText.Grouped(waves.LastRecord)} of {FactText.Grouped(waves.Records)}",
                $"{FactText.Time(from)} to {FactText.Time(to)} of {FactText.Time(waves.TotalTicks * tick)}",
                $"{waves.Header.MachineName}, {waves.Header.Dac.Bits} bits, {FactText.Time(tick)} a tick",
                waves.HasSettling || waves.HasBeamDelay ? "" : "no settling known: commanded lines alone",
                string.Join(" · ", measured.Select(trace => trace.Facts))),
            LegendOf(waves, measured),
            time,
            [
                Output("x", Waveforms.X, Waveforms.SettledX, waves, Traces(TraceLine.X)),
                Output("y", Waveforms.Y, Waveforms.SettledY, waves, Traces(TraceLine.Y)),
                BeamPanel(waves, Traces(TraceLine.Blank)),
                ScanPanel(waves, Traces(TraceLine.ScanEnable)),
            ]);

        ImmutableArray<PlacedTrace> Traces(TraceLine line) => [.. measured.Where(trace => trace.Line == line)];
    }

    private static ImmutableArray<(CurveLook, string)> LegendOf(Waveforms waves, ImmutableArray<PlacedTrace> measured)
    {
        string followed = waves switch
        {
            { HasSettling: true, HasBeamDelay: true } => "predicted: settling, delayed beam",
            { HasSettling: true } => "predicted: settling",
            { HasBeamDelay: true } => "predicted: delayed beam",
            _ => "",
        };
        return
        [
            (CurveLook.Commanded, "commanded"),
            .. followed.Length > 0 ? [(CurveLook.Predicted, followed)] : ImmutableArray<(CurveLook, string)>.Empty,
            .. measured.IsEmpty ? ImmutableArray<(CurveLook, string)>.Empty : [(CurveLook.Measured, "measured, less delay, gain, offset")],
        ];
    }

    private static WaveformPanel Output(string axis, int line, int settled, Waveforms waves, ImmutableArray<PlacedTrace> measured)
    {
        Dac dac = waves.Header.Dac;
        double low = double.PositiveInfinity;
        double high = double.NegativeInfinity;
        IEnumerable<Envelope> all = waves.Columns[line].ToArray();
        foreach (Envelope column in (waves.HasSettling ? all.Concat(waves.Columns[settled].ToArray()) : all).Concat(measured.SelectMany(trace => trace.Pieces.Select(p => Codes(p.Course)))))
        {
            if (!column.IsEmpty)
            {
                (low, high) = (Math.Min(low, column.Low), Math.Max(high, column.High));
            }
        }

        // A line that does not move stands in the middle of a few codes.
        double room = Math.Max(0.08 * (high - low), high - low < 4 ? 2 : 0);
        (low, high) = (low - room, high + room);
        var curves = ImmutableArray.CreateBuilder<WaveformCurve>();
        curves.AddRange(measured.Select(trace => new WaveformCurve(
            CurveLook.Measured, [.. trace.Pieces.Select(p => (PartOfTime(waves, p.From), PartOfTime(waves, p.To), Scaled(Codes(p.Course), low, high)))])));
        curves.Add(Curve(CurveLook.Commanded, waves, line, low, high));
        if (waves.HasSettling)
        {
            curves.Add(Curve(CurveLook.Predicted, waves, settled, low, high));
        }

        var volts = new PlotAxis("", dac.MinimumVolts + low * dac.LsbVolts, dac.MinimumVolts + high * dac.LsbVolts);
        var codes = new PlotAxis("", low, high);
        return new WaveformPanel(
            $"{axis} output (V)", TicksOf(volts, false), "code", TicksOf(codes, true), OutputShare, curves.ToImmutable());

        Envelope Codes(in Envelope volts) => volts.IsEmpty ? volts
            : new((volts.First - dac.MinimumVolts) / dac.LsbVolts, (volts.Low - dac.MinimumVolts) / dac.LsbVolts, (volts.High - dac.MinimumVolts) / dac.LsbVolts, (volts.Last - dac.MinimumVolts) / dac.LsbVolts);
    }

    // Codes are whole: ticks between them would name codes that do not exist.
    private static ImmutableArray<(double Place, string Label)> TicksOf(PlotAxis axis, bool isWhole) =>
        [.. PlotTicks.Of(axis, MostTicks).Where(tick => !isWhole || tick.Value == Math.Round(tick.Value)).Select(tick => (axis.PartOf(tick.Value), tick.Label))];

    private static WaveformPanel BeamPanel(Waveforms waves, ImmutableArray<PlacedTrace> measured)
    {
        const double Low = 0.2;
        const double High = 0.8;
        bool isHighWhenOff = waves.BlankLevel == BlankLevel.High;
        bool hasLine = waves.BlankLevel is BlankLevel.High or BlankLevel.Low;
        (double offPlace, double onPlace) = isHighWhenOff ? (High, Low) : (Low, High);
        var curves = ImmutableArray.CreateBuilder<WaveformCurve>();
        curves.AddRange(Levels(measured, waves));
        curves.Add(Curve(CurveLook.Commanded, waves, Waveforms.Beam, Zero(), One()));
        if (waves.HasBeamDelay)
        {
            curves.Add(Curve(CurveLook.Predicted, waves, Waveforms.DelayedBeam, Zero(), One()));
        }

        return new WaveformPanel(
            hasLine ? "blank line" : "beam",
            hasLine ? [(Low, "low"), (High, "high")] : [(Low, "off"), (High, "on")],
            hasLine ? "beam" : "",
            hasLine ? [(offPlace, "off"), (onPlace, "on")] : [],
            LineShare,
            curves.ToImmutable());

        // The ends of a scale on which 0, beam off, and 1, beam on, stand at their places.
        double Zero() => (0 - offPlace) / (onPlace - offPlace);
        double One() => (1 - offPlace) / (onPlace - offPlace);
    }

    private static WaveformPanel ScanPanel(Waveforms waves, ImmutableArray<PlacedTrace> measured)
    {
        double start = waves.StartTick == 0 ? 0.2 : 0.8;
        Envelope high = Envelope.Between(0.8, 0.8);
        ImmutableArray<(double, double, Envelope)> pieces =
        [
            (0, 0, Envelope.Between(start, 0.8)),
            (0, 1, high),
            .. waves.ReachesEnd ? [(1, 1, Envelope.Between(0.8, 0.2))] : ImmutableArray<(double, double, Envelope)>.Empty,
        ];
        return new WaveformPanel(
            "scan-enable", [(0.2, "low"), (0.8, "high")], "", [], LineShare, [.. Levels(measured, waves), new WaveformCurve(CurveLook.Commanded, pieces)]);
    }

    private static IEnumerable<WaveformCurve> Levels(ImmutableArray<PlacedTrace> measured, Waveforms waves) => measured.Select(trace => new WaveformCurve(
        CurveLook.Measured, [.. trace.Pieces.Select(p => (PartOfTime(waves, p.From), PartOfTime(waves, p.To), Scaled(p.Course, -1.0 / 3, 4.0 / 3)))]));

    private static double PartOfTime(Waveforms waves, double seconds) => (seconds - waves.StartSeconds) / (waves.EndSeconds - waves.StartSeconds);

    private static WaveformCurve Curve(CurveLook look, Waveforms waves, int line, double low, double high)
    {
        ReadOnlySpan<Envelope> columns = waves.Columns[line];
        var pieces = ImmutableArray.CreateBuilder<(double, double, Envelope)>(columns.Length);
        double width = waves.Columns.TicksPerColumn / (double)waves.Columns.Ticks;
        for (int i = 0; i < columns.Length; i++)
        {
            if (!columns[i].IsEmpty)
            {
                pieces.Add((i * width, Math.Min(1, (i + 1) * width), Scaled(columns[i], low, high)));
            }
        }

        return new WaveformCurve(look, pieces.ToImmutable());
    }

    private static Envelope Scaled(in Envelope values, double low, double high)
    {
        double first = (values.First - low) / (high - low);
        double last = (values.Last - low) / (high - low);
        double one = (values.Low - low) / (high - low);
        double other = (values.High - low) / (high - low);
        return new Envelope(first, Math.Min(one, other), Math.Max(one, other), last);
    }
}
