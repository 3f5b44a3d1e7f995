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

/// <summary>What a build says of figures that do not get the charge that they ask for, and that each remedy helps.</summary>
public sealed class FigureChargeReportTests
{
    // 280 uC/cm2, 1 nA, 10 MHz: a point of 13 by 13 codes of 1.53 nm gets 11.02 ticks. 5 ticks at least, 10 of delay.
    private static readonly BuildSettings Settings = new(
        DefaultFiles.Job with { Fill = new FillSettings(FillStrategy.OneWayLines, FillDirection.X, Spacing.FromCodes(13), Spacing.FromCodes(13)) },
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
            "warning PC1302: the blanker is too slow for so short dwells: 3 figures get more charge than asked; figure 0 is off most: it gets 0.7 fC (7 ticks, 87.5%) more than asked; "
            + "turn the beam off with a delay of at most 1.3 us",
            Assert.Single(Build(slow, Dots).Sink.Collected).ToString());
        Assert.Empty(Build(With(Settings, blanker => blanker with { OffDelaySeconds = 1.3e-6 }), Dots).Sink.Collected);
    }

    [Fact]
    public void Delays_that_are_left_are_told_with_what_they_make()
    {
        BuildSettings left = With(Settings, blanker => blanker with { OffDelaySeconds = 1.3e-6, IsCompensated = false });
        Assert.Equal(
            "warning PC1364: the delays of the blanker are not compensated: 3 figures get another charge than asked; figure 0 is off most: it gets 0.3 fC (3 ticks, 37.5%) more than asked; "
            + "set 'compensate: yes' for the blanker in the machine file",
            Assert.Single(Build(left, Dots).Sink.Collected).ToString());
        Assert.Empty(Build(With(left, blanker => blanker with { IsCompensated = true }), Dots).Sink.Collected);
    }

    [Theory]
    [InlineData(FillStrategy.Lines)]
    [InlineData(FillStrategy.Raster)]
    public void The_centre_rule_says_what_it_gains_or_loses(FillStrategy strategy)
    {
        // Bars 0.2 um wide are 10.08 points wide and 151.2 points high: they get 10 by 151 or 152, or 11 of them.
        BuildSettings centre = Settings with { Job = Settings.Job with { Fill = Settings.Job.Fill with { Strategy = strategy, Placement = CodePlacement.Centre } } };
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
