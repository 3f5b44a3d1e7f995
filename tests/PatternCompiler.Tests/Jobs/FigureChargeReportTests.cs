using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Timing;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Tests.Passes;
using PatternCompiler.Tests.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs;

/// <summary>What a build says of figures that do not get the charge that they ask for, and that each remedy helps.</summary>
public sealed class FigureChargeReportTests
{
    // 280 uC/cm2, 1 nA, 10 MHz: a point of 13 by 13 codes of 1.53 nm gets 11.02 ticks. 5 ticks at least, 10 of delay.
    private static readonly BuildSettings Settings = new(
        DefaultFiles.Job with { Fill = new FillSettings(FillStrategy.Of("one-way lines"), FillDirection.X, Spacing.FromCodes(13), Spacing.FromCodes(13)) },
        DefaultFiles.Machine with
        {
            Clock = new Clock(1e7, 5, 65535),
            Beam = DefaultFiles.Machine.Beam with { CurrentAmperes = 1e-9, Later = null },
            Blanker = new Blanker(true, true, 1e-6, 1e-6, 0) { IsCompensated = true },
        },
        DefaultFiles.Process with { AreaDoseCoulombsPerSquareMetre = 2.8, DotChargeCoulombs = 0.8e-15 });

    private static readonly Figure[] NarrowBars = [.. Enumerable.Range(0, 20).Select(i => FillCase.Rectangle((i - 10) * 20_000, -15_000, 2000, 30_000))];

    private static readonly Figure[] Dots = [.. Enumerable.Range(0, 3).Select(i => Figure.FromDot(0, DoseFactor.One, new GridPoint(i * 10_000, 0)))];

    [Fact]
    public void Rows_that_end_in_a_weak_point_have_their_charge_however_slow_the_blanker()
    {
        // 20 bars of 0.2 um by 3 um: 33.6 pC are 336,000 ticks. The delays are equal, so that the beam is on for as long as dwells last.
        (List<DeflectionRecord> records, DiagnosticSink sink) = Build(Settings, NarrowBars);
        Assert.Equal(336_000, records.Where(record => record.Points > 0).Sum(record => record.Ticks));
        Assert.Empty(sink.Collected);
    }

    [Fact]
    public void Dots_too_short_for_the_blanker_are_named_with_what_helps()
    {
        // 8 ticks are asked for; 5 of dwell and 20 of delay cannot be less than 25 - 10. They are a dot, led in at the same point.
        BuildSettings slow = With(Settings, blanker => blanker with { OffDelaySeconds = 2e-6 });
        Assert.Equal(
            "figure 0: warning PC1302: the blanker is too slow for so short dwells: 3 figures get more charge than asked; figure 0 is off most: it gets 0.7 fC (7 ticks, 87.5%) more than asked; "
            + "turn the beam off with a delay of at most 1.3 us",
            Assert.Single(Build(slow, Dots).Sink.Collected).ToString());
        Assert.Empty(Build(With(Settings, blanker => blanker with { OffDelaySeconds = 1.3e-6 }), Dots).Sink.Collected);
    }

    [Fact]
    public void Delays_that_are_left_are_told_with_what_they_make()
    {
        BuildSettings left = With(Settings, blanker => blanker with { OffDelaySeconds = 1.3e-6, IsCompensated = false });
        Assert.Equal(
            "figure 0: warning PC1364: the delays of the blanker are not compensated: 3 figures get another charge than asked; figure 0 is off most: it gets 0.3 fC (3 ticks, 37.5%) more than asked; "
            + "set 'compensate: yes' for the blanker in the machine file",
            Assert.Single(Build(left, Dots).Sink.Collected).ToString());
        Assert.Empty(Build(With(left, blanker => blanker with { IsCompensated = true }), Dots).Sink.Collected);
    }

    /// <summary>
    /// How much may be amiss: half a tick, a whole one where a leak or delays that are not whole ticks are made up for, as much more as the
    /// current grows, and a ten-thousandth of the figure where it drifts. A dot of 100 ticks asks for so much less; on- and off-delay in ticks.
    /// </summary>
    [Theory]
    [InlineData(0, 0, 0, true, true, 0, 0.5)]
    [InlineData(10, 10, 0, true, true, 0, 0.5)]
    [InlineData(10.5, 10.5, 0, true, true, 0, 1)]
    [InlineData(9.5, 9, 0, true, true, 0, 1)]
    [InlineData(9, 9.5, 0, true, true, 0, 1)]
    [InlineData(0, 0, 0.1, true, true, 0, 1)]
    [InlineData(0, 0, 0.1, true, false, 0, 0.5)]
    [InlineData(10.5, 10.5, 0, true, false, 0, 0.5)]
    [InlineData(10.5, 10.5, 0.1, false, true, 0, 0.5)]
    [InlineData(0, 0, 0, true, true, 2e-9, 1)]
    [InlineData(0, 0, 0, true, true, 0.5e-9, 0.5)]
    [InlineData(0, 0, 0.1, true, true, 2e-9, 2)]
    public void What_may_be_amiss_is_not_told(double on, double off, double leak, bool isPresent, bool isCompensated, double later, double allowed)
    {
        Blanker blanker = new(isPresent, true, off * 1e-7, on * 1e-7, leak) { IsCompensated = isCompensated };
        Beam beam = Settings.Machine.Beam with { Later = later > 0 ? new CurrentReading(1000, later) : null };
        Machine machine = Settings.Machine with { Blanker = blanker, Beam = beam };

        // What is late at the end less what is late at the beginning comes on top.
        double delivered = isPresent ? 100 + off - on : 100;
        foreach (double sign in new[] { 1, -1 })
        {
            double most = later > 0 ? (allowed + 1e-4 * delivered) / (1 + sign * 1e-4) : allowed;
            Assert.Empty(Report(machine, (delivered - sign * (most - 0.0001), 100)));
            Assert.Equal(isCompensated ? "PC1302" : "PC1364", Assert.Single(Report(machine, (delivered - sign * (most + 0.0002), 100))).Code.Id);
        }
    }

    /// <summary>Just half a tick more or less is what rounding leaves, to the last digit of a double.</summary>
    [Fact]
    public void Half_a_tick_is_not_told()
    {
        Machine machine = Settings.Machine with { Blanker = new Blanker(true, true, 0, 0, 0) { IsCompensated = true } };
        Assert.Empty(Report(machine, (100.5, 100), (100.5, 101), (7.5, 8), (12_345.5, 12_345), (1_000_000.5, 1_000_001)));
    }

    /// <summary>Figure 2 lacks most ticks, figure 1 the largest part: 3 of 7.</summary>
    [Theory]
    [InlineData(true, 0, "figure 1: warning PC1302: the blanker is too slow for so short dwells: 3 figures get more charge than asked; figure 1 is off most: it gets 0.3 fC (3 ticks, 42.9%) less than asked; use a faster clock if so little matters: it comes from rounding to ticks")]
    [InlineData(true, 0.03, "figure 1: warning PC1302: the blanker is too slow for so short dwells: 3 figures get more charge than asked; figure 1 is off most: it gets 0.3 fC (3 ticks, 42.9%) less than asked; stop the leak of 3%")]
    [InlineData(false, 0, "figure 1: warning PC1364: the delays of the blanker are not compensated: 3 figures get another charge than asked; figure 1 is off most: it gets 0.3 fC (3 ticks, 42.9%) less than asked; set 'compensate: yes' for the blanker in the machine file")]
    public void The_figure_that_is_off_most_is_told(bool isCompensated, double leak, string told)
    {
        Machine machine = Settings.Machine with { Blanker = new Blanker(true, true, 0, 0, leak) { IsCompensated = isCompensated } };
        Assert.Equal(told, Assert.Single(Report(machine, (100, 102), (7, 4), (1000, 990), (50, 50))).ToString());
        Assert.Equal(3, Assert.Single(Report(machine, (100, 102), (7, 4), (1000, 990), (50, 50))).Count);
        string one = Assert.Single(Report(machine, (50, 50), (100, 102))).Message;
        Assert.EndsWith(": figure 1 gets 0.2 fC (2 ticks, 2%) more than asked", one, StringComparison.Ordinal);
    }

    /// <summary>Figures that ask for so many ticks and are exposed for so many.</summary>
    private static IReadOnlyCollection<Diagnostic> Report(Machine machine, params (double Asked, long Given)[] figures)
    {
        // 1 nA for 100 ns is 1e-16 C a tick.
        var charge = new FigureCharge(machine.Beam, machine.Blanker);
        charge.Strokes.Write([.. figures.Select((figure, i) => Stroke.Dot(i, 0, 0, (long)Math.Round(figure.Asked * 100_000)))]);
        charge.Records.Begin(new RecordsHeader("bench", machine.Dac, machine.Clock.Hertz, 1, 1_000_000, 1, 1, false));
        for (int i = 0; i < figures.Length; i++)
        {
            charge.Records.Write([DeflectionRecord.Marker(i), DeflectionRecord.Dot(0, 0, figures[i].Given), DeflectionRecord.Jump(0, 0, figures.Length == 1 ? 100 : 0)]);
        }

        charge.Records.End();
        var sink = new DiagnosticSink();
        BlankerTiming? timing = machine.Blanker.IsCompensated ? new BlankerTiming(machine.Blanker, new CollectingSink<RecordsHeader, DeflectionRecord>()) : null;
        FigureChargeReport.Report(charge, timing, machine, sink);
        return [.. sink.Collected];
    }

    [Theory]
    [InlineData("lines")]
    [InlineData("raster")]
    public void The_centre_rule_says_what_it_gains_or_loses(string strategy)
    {
        // Bars 0.2 um wide are 10.08 points wide and 151.2 points high: they get 10 by 151 or 152, or 11 of them.
        BuildSettings centre = Settings with { Job = Settings.Job with { Fill = Settings.Job.Fill with { Strategy = FillStrategy.Of(strategy), Placement = CodePlacement.Centre } } };
        Diagnostic told = Assert.Single(Build(centre, NarrowBars).Sink.Collected);
        Assert.Equal("PC1264", told.Code.Id);
        Assert.StartsWith("points whose centre lies inside give 20 figures another charge than asked, ", told.Message, StringComparison.Ordinal);
        long points = Build(centre, NarrowBars).Records.Sum(record => (long)record.Points);
        Assert.True(points > 0);
        Assert.Empty(Build(centre with { Job = centre.Job with { Fill = centre.Job.Fill with { Placement = CodePlacement.Weighted } } }, NarrowBars).Sink.Collected);
    }

    private static BuildSettings With(BuildSettings settings, Func<Blanker, Blanker> change) =>
        settings with { Machine = settings.Machine with { Blanker = change(settings.Machine.Blanker) } };

    private static (List<DeflectionRecord> Records, DiagnosticSink Sink) Build(BuildSettings settings, Figure[] figures)
    {
        var sink = new DiagnosticSink();
        var records = new CollectingSink<RecordsHeader, DeflectionRecord>();
        StrokesStage.Run(
            new FiguresDocument(new FiguresHeader(100, ["pattern"]), figures), settings, new RecordsStage(settings, records, sink), sink, CancellationToken.None);
        return (records.Items, sink);
    }
}
