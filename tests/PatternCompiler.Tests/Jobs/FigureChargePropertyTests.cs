using System.Globalization;
using System.Text.RegularExpressions;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Tests.Passes;
using PatternCompiler.Tests.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs;

/// <summary>
/// What each figure asks for, reckoned from the figures alone, against what the blanker lets through when it plays the
/// records. All passes of a figure together are right to half a tick; to a tick where the blanker leaks or its delays are
/// not whole ticks, and to a ten-thousandth more while the current drifts. Otherwise the build names the figures and the amount.
/// </summary>
public sealed partial class FigureChargePropertyTests
{
    private const double Hertz = 1e7;
    private const double SpacingNanometres = 20;

    // A hundred times that of a resist: strokes carry whole zeptocoulombs, which must be far less than a tick of the faintest beam.
    private const double AreaDose = 280;

    /// <summary>One writer and one way to write with it. Delays in ticks; the dwell of a regular point in shortest dwells.</summary>
    private sealed record Way(
        FillStrategy Strategy, CodePlacement Placement, int Passes, int Interlace, long ShortestDwell, double RegularDwell, double On, double Off, double Leak, double Drift)
    {
        // A delay is a time, and its product with the clock's rate is rounded: a millionth of a tick is none.
        public bool IsWhole => Leak == 0 && IsNear(On) && IsNear(Off);

        private static bool IsNear(double ticks) => Math.Abs(ticks - Math.Round(ticks)) < 1e-6;
    }

    private static readonly Gen<Way> Ways =
        from strategy in Gen.OneOf([.. FillStrategy.All.Select(Gen.Const)])
        from placement in Gen.Int[0, 2].Select(i => (CodePlacement)i)
        from passes in Gen.Int[1, 3]
        from interlace in Gen.Int[1, 2]
        from dwell in Gen.OneOf(Gen.Const(1L), Gen.Const(5L), Gen.Const(50L), Gen.Const(500L))
        from regular in Gen.Double[1.05, 12]
        from late in Gen.OneOf(Gen.Const(0.0), Gen.Int[0, 40].Select(t => (double)t), Gen.Double[0, 1000])
        from over in Gen.OneOf(Gen.Const(0.0), Gen.Int[0, 40].Select(t => (double)t), Gen.Double[0, 1000])
        from leak in Gen.Frequency((4, Gen.Const(0.0)), (1, Gen.Double[0, 0.01]))
        from drift in Gen.Frequency((4, Gen.Const(0.0)), (1, Gen.Double[-0.3, 0.3]))
        select new Way(strategy, placement, passes, interlace, dwell, regular, late, over, leak, drift);

    /// <summary>Figures far from each other, so that none shares a pixel with another.</summary>
    private static readonly Gen<Figure[]> Layouts = Gen.OneOf(
        Gen.Select(FillCase.Trapezoids, Gen.Int[1, 40], (figure, part) => Small(figure, part)),
        FillCase.Trapezoids,
        Gen.Select(Gen.Int[1, 40], Gen.Int[1, 6000], Gen.Int[200_000, 3_000_000], (width, height, dose) =>
            Figure.FromTrapezoid(0, new DoseFactor(dose), Trapezoid.FromRectangle(0, 0, width * 100, height))),
        Gen.Select(Gen.Int[-6000, 6000], Gen.Int[1, 6000], Gen.Int[200_000, 3_000_000], (x, y, dose) =>
            Figure.FromLine(0, new DoseFactor(dose), new GridPoint(0, 0), new GridPoint(x, y))),
        Gen.Int[200_000, 30_000_000].Select(dose => Figure.FromDot(0, new DoseFactor(dose), new GridPoint(0, 0))))
        .Array[1, 9].Select(figures => (Figure[])[.. figures.Select(Apart)]);

    [Fact]
    public void Each_figure_gets_its_charge_to_half_a_tick_or_the_build_says_what_it_gets()
    {
        int refused = 0;
        int compared = 0;
        int reported = 0;
        Gen.Select(Ways, Layouts).Sample(
            (way, figures) =>
            {
                BuildSettings settings = SettingsOf(way);
                var sink = new DiagnosticSink();
                var records = new CollectingSink<RecordsHeader, DeflectionRecord>();
                try
                {
                    Write(settings, figures, records, sink);
                }
                catch (CompileException)
                {
                    // A point that no dwell can make ends the build, and nothing is written.
                    Interlocked.Increment(ref refused);
                    return;
                }

                double[] excess = Excess(settings, figures, records.Items);
                double allowed = (way.IsWhole ? 0.5 : 1) * Math.Max(1, 1 + way.Drift) + 0.01;

                // Ticks taken back while the current drifts weigh differently, by less than a ten-thousandth of the figure.
                double part = way.Drift == 0 ? 0 : 1.01e-4;
                int[] off = [.. Enumerable.Range(0, figures.Length).Where(i =>
                    Math.Abs(excess[i]) > allowed + part * Asked(settings.Process, figures[i]) * Hertz / settings.Machine.Beam.CurrentAmperes && !IsTiny(settings, figures[i]))];
                Interlocked.Add(ref compared, figures.Length);
                Interlocked.Add(ref reported, off.Length);
                Diagnostic[] told = [.. sink.Collected.Where(d => d.Code.Id == "PC1302")];

                int tiny = figures.Count(figure => IsTiny(settings, figure));
                if (way.Strategy is ContourFill && sink.Collected.Any(d => d.Code.Id is "PC1205" or "PC1285"))
                {
                    // Pieces inside contours that no other stroke could take were raised or left out, and told as such.
                    return;
                }

                if (way.Strategy.SharesPixels && sink.Collected.Any(d => d.Code.Id == "PC1285"))
                {
                    // A sliver whose parts lie in many pixels, and in none of them are enough for a dwell, was left out, and told as such.
                    return;
                }

                if (sink.Collected.FirstOrDefault(d => d.Code.Id == "PC1265") is { } lacking)
                {
                    // Parts of a raster that are too small for a pixel and far from any other are left out, and told as such.
                    AssertLacking(lacking, told.FirstOrDefault(), settings, excess, allowed + part * excess.Max(Math.Abs));
                    return;
                }

                if (off.Length == 0)
                {
                    Assert.True(told.Length == 0 || tiny > 0 || way.Drift != 0 || excess.Any(e => Math.Abs(e) > allowed - 0.02), told.Length > 0 ? told[0].Message : "");
                    return;
                }

                Assert.True(told.Length == 1, $"not told: figures {string.Join(", ", off)} of excess {string.Join(", ", off.Select(i => excess[i]))} ticks; {string.Join("; ", sink.Collected)}");
                Assert.InRange(told[0].Count, off.Length, off.Length + tiny + (way.Drift != 0 ? figures.Length : excess.Count(e => Math.Abs(Math.Abs(e) - allowed) < 0.02)));
                Match worst = Worst().Match(told[0].Message);
                int figure = int.Parse(worst.Groups["figure"].Value, CultureInfo.InvariantCulture);
                Assert.True(tiny > 0 || way.Drift != 0 || off.Contains(figure));
                if (!IsTiny(settings, figures[figure]))
                {
                    double ticks = double.Parse(worst.Groups["ticks"].Value, CultureInfo.InvariantCulture);
                    Assert.InRange(Math.Abs(excess[figure]), 0.994 * ticks - 0.01, 1.006 * ticks + 0.01);
                }
            },
            iter: Iterations.Usually(600));
        Assert.True(refused < Iterations.Usually(60) && compared > Iterations.Usually(1000) && reported < compared / 2, $"{refused} {compared} {reported}");
    }

    // Where the blanker is too slow as well, the same figure may get more for what is left of it.
    private static void AssertLacking(Diagnostic told, Diagnostic? more, BuildSettings settings, double[] excess, double allowedTicks)
    {
        Match most = MostLacking().Match(told.Message);
        double coulombs = double.Parse(most.Groups["value"].Value, CultureInfo.InvariantCulture)
            * Math.Pow(10, 3 * ("afpnum ".IndexOf(most.Groups["prefix"].Value.PadLeft(1), StringComparison.Ordinal) - 6));
        double ticks = coulombs * Hertz / settings.Machine.Beam.CurrentAmperes;
        double raised = more is null ? 0 : 1.006 * TicksOf(more);
        Assert.InRange(excess[int.Parse(most.Groups["figure"].Value, CultureInfo.InvariantCulture)], -1.006 * ticks - allowedTicks, -0.994 * ticks + allowedTicks + raised);
    }

    [GeneratedRegex(@"figure (?<figure>\d+) most: (?<value>[\d.]+) (?<prefix>[afpnum]?)C")]
    private static partial Regex MostLacking();

    /// <summary>Each remedy that a warning names is taken, and the warning is gone, or but for a tick in each stretch.</summary>
    [Fact]
    public void What_the_warning_advises_helps()
    {
        int helped = 0;
        Gen.Select(Ways, Layouts).Sample(
            (way, figures) =>
            {
                BuildSettings settings = SettingsOf(way);
                if (TooSlow(settings, figures) is not Diagnostic told)
                {
                    return;
                }

                Machine machine = settings.Machine with { Blanker = settings.Machine.Blanker with { LeakFraction = 0 } };
                if (IsRounding(told))
                {
                    return;
                }

                Assert.Equal(way.Leak > 0, told.Fix!.Contains("stop the leak of ", StringComparison.Ordinal));
                // A shorter delay lets the fill make shorter strokes, so that the advice may have to be taken once more.
                Diagnostic? still = told;
                for (int times = 0; times < 4 && still is not null && OffDelay().Match(still.Fix!) is { Success: true } remedy; times++)
                {
                    double seconds = double.Parse(remedy.Groups["value"].Value, CultureInfo.InvariantCulture)
                        * Math.Pow(10, 3 * ("fpnum ".IndexOf(remedy.Groups["prefix"].Value.PadLeft(1), StringComparison.Ordinal) - 5));
                    machine = machine with { Blanker = machine.Blanker with { OffDelaySeconds = seconds } };
                    still = TooSlow(settings with { Machine = machine }, figures);
                }

                still = TooSlow(settings with { Machine = machine }, figures);
                Assert.True(still is null || IsRounding(still) || TicksOf(still) < 0.05 * TicksOf(told), $"{told} {still}");
                Interlocked.Increment(ref helped);
            },
            iter: Iterations.Usually(600));
        Assert.True(helped > Iterations.Usually(20), $"{helped}");
    }

    /// <summary>What rounding to ticks leaves in each stretch, and a drifting current: no delay changes that.</summary>
    private static bool IsRounding(Diagnostic warning) => warning.Fix!.StartsWith("use a faster clock", StringComparison.Ordinal);

    private static double TicksOf(Diagnostic warning) => double.Parse(Worst().Match(warning.Message).Groups["ticks"].Value, CultureInfo.InvariantCulture);

    [GeneratedRegex(@"at most (?<value>[\d.]+) (?<prefix>[fpnum]?)s")]
    private static partial Regex OffDelay();

    /// <summary>The warning of a build, if there is one; null also if the build refuses the pattern.</summary>
    private static Diagnostic? TooSlow(BuildSettings settings, Figure[] figures)
    {
        var sink = new DiagnosticSink();
        try
        {
            Write(settings, figures, new CollectingSink<RecordsHeader, DeflectionRecord>(), sink);
        }
        catch (CompileException)
        {
            return null;
        }

        return sink.Collected.FirstOrDefault(d => d.Code.Id == "PC1302");
    }

    [GeneratedRegex(@"figure (?<figure>\d+) (gets|is off).*\((?<ticks>[\d.]+) ticks")]
    private static partial Regex Worst();

    private static void Write(BuildSettings settings, Figure[] figures, CollectingSink<RecordsHeader, DeflectionRecord> records, DiagnosticSink sink) =>
        StrokesStage.Run(
            new FiguresDocument(new FiguresHeader(100, ["pattern"]), figures), settings, new RecordsStage(settings, records, sink), sink, CancellationToken.None);

    private static BuildSettings SettingsOf(Way way)
    {
        // 20 nm are exactly as wide as 13.1072 codes of a 100 um field of 16 bits; 13 codes are a little less.
        double current = AreaDose * SpacingNanometres * SpacingNanometres * 1e-18 * Hertz / (way.ShortestDwell * way.RegularDwell * way.Passes);
        Spacing spacing = way.Placement == CodePlacement.Automatic ? Spacing.FromCodes(13) : Spacing.FromNanometres(SpacingNanometres);
        Machine machine = DefaultFiles.Machine with
        {
            Clock = new Clock(Hertz, way.ShortestDwell, 1 << 22),
            Beam = DefaultFiles.Machine.Beam with { CurrentAmperes = current, Later = way.Drift == 0 ? null : new CurrentReading(0.2, current * (1 + way.Drift)) },
            Blanker = new Blanker(true, true, way.Off / Hertz, way.On / Hertz, way.Leak) { IsCompensated = true, ShortestPulseSeconds = 3e-6, ScanEnableSeconds = 1e-5, ScanDisableSeconds = 1e-5 },
        };
        return new BuildSettings(
            DefaultFiles.Job with
            {
                Markers = true,
                Fill = new FillSettings(way.Strategy, FillDirection.LongSide, spacing, spacing) { Placement = way.Placement, Passes = way.Passes, Interlace = way.Interlace },
            },
            machine,
            DefaultFiles.Process with
            {
                AreaDoseCoulombsPerSquareMetre = AreaDose,
                LineDoseCoulombsPerMetre = 3 * AreaDose * SpacingNanometres * 1e-9,
                DotChargeCoulombs = 3 * AreaDose * SpacingNanometres * SpacingNanometres * 1e-18,
            });
    }

    /// <summary>Coulombs that a figure asks for: dose times area, times length, or its charge. Grid 0.1 nm.</summary>
    private static double Asked(Resist process, in Figure figure)
    {
        double factor = figure.DoseFactor.Millionths / 1e6;
        switch (figure.Kind)
        {
            case FigureKind.Trapezoid:
                return factor * process.AreaDoseCoulombsPerSquareMetre * (double)FillCase.AreaOf(figure.Shape) * 1e-20;
            case FigureKind.Line:
                double dx = figure.End.X - figure.Start.X;
                double dy = figure.End.Y - figure.Start.Y;
                return factor * process.LineDoseCoulombsPerMetre * Math.Sqrt(dx * dx + dy * dy) * 1e-10;
            default:
                return factor * process.DotChargeCoulombs;
        }
    }

    /// <summary>Below the shortest dwell a figure is raised or left out while it is filled, and the build says so there.</summary>
    private static bool IsTiny(BuildSettings settings, in Figure figure)
    {
        Beam beam = settings.Machine.Beam;
        double most = Math.Max(beam.CurrentAmperes, beam.Later?.Amperes ?? 0);
        return Asked(settings.Process, figure) / settings.Job.Fill.Passes!.Value < 1.01 * settings.Machine.Clock.MinimumDwellTicks / Hertz * most;
    }

    /// <summary>Ticks of the first current that each figure gets more than it asks for.</summary>
    private static double[] Excess(BuildSettings settings, Figure[] figures, IReadOnlyList<DeflectionRecord> records)
    {
        Beam beam = settings.Machine.Beam;
        Blanker blanker = settings.Machine.Blanker;
        List<(double From, double To, int Figure)> stays = Stays(records);
        List<(double From, double To)> beamOn = BeamOn(records, blanker.OnDelaySeconds * Hertz, blanker.OffDelaySeconds * Hertz);
        var charge = new double[figures.Length];
        int next = 0;
        foreach ((double from, double to, int figure) in stays)
        {
            charge[figure] += blanker.LeakFraction * Ticks(beam, from, to);
            while (next < beamOn.Count && beamOn[next].To <= from)
            {
                next++;
            }

            for (int i = next; i < beamOn.Count && beamOn[i].From < to; i++)
            {
                charge[figure] += (1 - blanker.LeakFraction) * Ticks(beam, Math.Max(from, beamOn[i].From), Math.Min(to, beamOn[i].To));
            }
        }

        return [.. charge.Select((ticks, i) => ticks - Asked(settings.Process, figures[i]) * Hertz / beam.CurrentAmperes)];
    }

    /// <summary>Charge between two times in ticks of the first current: the current changes evenly up to its second reading.</summary>
    private static double Ticks(Beam beam, double from, double to)
    {
        if (beam.Later is not CurrentReading later || to <= from)
        {
            return Math.Max(0, to - from);
        }

        double change = later.Seconds * Hertz;
        double slope = (later.Amperes / beam.CurrentAmperes - 1) / change;
        double bent = Math.Min(to, change);
        double even = Math.Max(from, change);
        return (bent > from ? (bent - from) * (1 + slope * (from + bent) / 2) : 0) + (to > even ? (to - even) * (1 + slope * change) : 0);
    }

    /// <summary>When the beam is at which figure, on or off: from the jump to it until the jump away from it.</summary>
    private static List<(double From, double To, int Figure)> Stays(IReadOnlyList<DeflectionRecord> records)
    {
        var stays = new List<(double, double, int)>();
        long now = 0;
        int named = 0;
        int at = -1;
        foreach (DeflectionRecord record in records)
        {
            if (record.Kind == RecordKind.Marker)
            {
                named = (int)record.Ticks;
                continue;
            }

            at = record.Kind == RecordKind.Wait ? at : named;
            if (at >= 0)
            {
                stays.Add((now, now + record.Ticks, at));
            }

            now += record.Ticks;
        }

        return stays;
    }

    private static List<(double From, double To)> BeamOn(IReadOnlyList<DeflectionRecord> records, double onDelay, double offDelay)
    {
        var intervals = new List<(double From, double To)>();
        long now = 0;
        long start = -1;
        foreach (DeflectionRecord record in records.Where(record => record.Kind != RecordKind.Marker).Append(DeflectionRecord.Wait(0)))
        {
            if (record.Points > 0 && start < 0)
            {
                start = now;
            }
            else if (record.Points == 0 && start >= 0)
            {
                intervals.Add((start + onDelay, now + offDelay));
                start = -1;
            }

            now += record.Ticks;
        }

        return [.. intervals.Where(interval => interval.To > interval.From)];
    }

    private static Figure Small(Figure figure, int part)
    {
        Trapezoid shape = figure.Shape;
        int height = Math.Max(1, (shape.YTop - shape.YBottom) / part);
        return Figure.FromTrapezoid(0, figure.DoseFactor, new Trapezoid(shape.YBottom, shape.YBottom + height, shape.Left, shape.Right), figure.IsTransposed);
    }

    /// <summary>Each figure into a cell of its own, 6 um wide.</summary>
    private static Figure Apart(Figure figure, int index)
    {
        const int Cell = 60_000;
        int x = (index % 3 - 1) * Cell;
        int y = (index / 3 - 1) * Cell;
        if (figure.Kind != FigureKind.Trapezoid)
        {
            var start = new GridPoint(figure.Start.X + x, figure.Start.Y + y);
            var end = new GridPoint(figure.End.X + x, figure.End.Y + y);
            return figure.Kind == FigureKind.Dot ? Figure.FromDot(0, figure.DoseFactor, start) : Figure.FromLine(0, figure.DoseFactor, start, end);
        }

        Trapezoid shape = figure.Shape;
        (x, y) = figure.IsTransposed ? (y, x) : (x, y);
        (x, y) = (x - shape.Left.Lower.X, y - shape.YBottom);
        return Figure.FromTrapezoid(
            0, figure.DoseFactor, new Trapezoid(shape.YBottom + y, shape.YTop + y, Moved(shape.Left, x, y), Moved(shape.Right, x, y)), figure.IsTransposed);

        static GridEdge Moved(GridEdge edge, int x, int y) => new(new(edge.Lower.X + x, edge.Lower.Y + y), new(edge.Upper.X + x, edge.Upper.Y + y));
    }
}
