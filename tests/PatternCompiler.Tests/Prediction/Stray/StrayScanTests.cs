using System.Collections.Immutable;
using CsCheck;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Tests.Prediction.Stray;

public class StrayScanTests
{
    private static readonly RecordsHeader Header = new(
        "m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e7, 1, 1_000_000, 5, 5, false);

    [Fact]
    public void A_perfect_blanker_draws_nothing()
    {
        StrayReport report = Scan(new SettleModel(0, 10e-6, 0), new Blanker(true, true, 0, 0, 0));
        Assert.Equal((2, 0, 0.0), (report.Jumps, report.Printing, report.LargestDoseCoulombsPerSquareMetre));
    }

    [Fact]
    public void A_late_blanker_draws_at_the_beginning_of_a_jump()
    {
        StrayJump jump = Assert.Single(Scan(new SettleModel(0, 10e-6, 0), new Blanker(true, true, 4e-6, 0, 0)).Worst);
        Assert.Equal(StrayCause.LateBlanking, jump.Cause);

        // In 4 µs the beam covers 1 − exp(−0.4) of its way.
        Assert.InRange(jump.PrintedLengthNanometres, 0.30 * 20_000, 0.34 * 20_000);
    }

    [Fact]
    public void Without_a_blanker_slow_jumps_print_and_fast_ones_do_not()
    {
        StrayReport slow = Scan(new SettleModel(0, 100e-6, 0), new Blanker(false, true, 0, 0, 0));
        Assert.Equal(StrayCause.NoBlanker, Assert.Single(slow.Worst).Cause);
        Assert.Equal(0, Scan(new SettleModel(0, 0, 1e12), new Blanker(false, true, 0, 0, 0)).Printing);
        Assert.Equal(0, Scan(new SettleModel(0, 0, 0), new Blanker(false, true, 0, 0, 0)).Printing);
    }

    [Fact]
    public void The_warning_says_how_many_how_long_and_why()
    {
        StrayReport report = Scan(new SettleModel(0, 0, 1e8), new Blanker(false, true, 0, 0, 0));
        Assert.Equal(
            "record 2 at (6.16, -13.84) um: warning PC3025: 1 of 2 jumps would print a line, 19.9 um in all; the worst is 19.9 um long and 109 nm wide with 1.99 uC/cm2, because there is no blanker; let 'order.travel' be hidden, jump faster, use less beam current, or fix the blanker",
            StrayText.WarningOf(report)!.ToString());
        Assert.Equal(
            ["record 2 from (-13.84, -13.84) um to (6.16, -13.84) um: 19.9 um long, 109 nm wide, 1.99 uC/cm2"],
            StrayText.ListOf(report));
    }

    /// <summary>What a jump adds by itself is told where it is less than nine tenths of the dose in its middle.</summary>
    [Theory]
    [InlineData(1, "100 uC/cm2")]
    [InlineData(0.9, "100 uC/cm2")]
    [InlineData(0.899, "100 uC/cm2 (89.9 uC/cm2 of its own)")]
    [InlineData(0.25, "100 uC/cm2 (25 uC/cm2 of its own)")]
    public void Doses_of_neighbours_are_told_apart(double own, string expected)
    {
        StrayReport report = Scan(new SettleModel(0, 0, 1e8), new Blanker(false, true, 0, 0, 0));
        string line = Assert.Single(StrayText.ListOf(report with { Worst = [report.Worst[0] with { PeakDoseCoulombsPerSquareMetre = 1, OwnDoseCoulombsPerSquareMetre = own }] }));
        Assert.EndsWith(" wide, " + expected, line, StringComparison.Ordinal);
    }

    [Fact]
    public void A_late_blanker_that_is_made_up_for_is_judged_alone()
    {
        StrayReport report = Scan(new SettleModel(0, 10e-6, 0), new Blanker(true, true, 4e-6, 0, 0) { IsCompensated = true });
        Assert.True(report.IsAlone);
        Assert.Contains("would print a line, 6", StrayText.WarningOf(report)!.Message, StringComparison.Ordinal);
        Assert.Contains(" in all, each judged alone;", StrayText.WarningOf(report)!.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_leak_without_a_known_speed_cannot_be_judged()
    {
        Assert.Equal(
            "warning PC3027: there is no blanker, and the machine file does not say how fast the deflection moves: stray lines cannot be predicted; give 'settle.time_constant' or 'settle.slew'",
            StrayText.UnknownOf(MachineWith(new SettleModel(1e-5, 0, 0), new Blanker(false, true, 0, 0, 1)))!.ToString());
        Assert.Null(StrayText.UnknownOf(MachineWith(new SettleModel(1e-5, 0, 0), new Blanker(true, true, 0, 0, 0))));
        Assert.Null(StrayText.UnknownOf(MachineWith(new SettleModel(1e-5, 1e-6, 0), new Blanker(false, true, 0, 0, 1))));
    }

    [Fact]
    public void Markers_and_strokes_tell_the_figures()
    {
        DeflectionRecord[] records =
        [
            DeflectionRecord.Marker(3), DeflectionRecord.Jump(30_000, 30_000, 10), DeflectionRecord.Dot(30_000, 30_000, 10),
            DeflectionRecord.Marker(8), DeflectionRecord.Jump(34_000, 30_000, 2000), DeflectionRecord.Dot(34_000, 30_000, 10),
        ];
        StrayJump marked = Assert.Single(Scan(new SettleModel(0, 0, 1e8), new Blanker(false, true, 0, 0, 0), records).Worst);
        Assert.Equal((3, 8), (marked.FromFigure, marked.ToFigure));

        var figures = new JumpFigures();
        figures.Write([Stroke.Jump(3, 0, 0), Stroke.Dot(3, 0, 0, 1), Stroke.Jump(8, 5, 5), Stroke.Dot(8, 5, 5, 1)]);
        StrayJump told = Assert.Single(
            Scan(new SettleModel(0, 0, 1e8), new Blanker(false, true, 0, 0, 0), [.. records.Where(record => record.Kind != RecordKind.Marker)], figures).Worst);
        Assert.Equal((3, 8), (told.FromFigure, told.ToFigure));
    }

    /// <summary>A marker names the jump to its figure, before or behind it, and no jump that was followed by an exposure.</summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_marker_names_no_jump_from_before_an_exposure(bool isBefore)
    {
        DeflectionRecord marker = DeflectionRecord.Marker(8), jump = DeflectionRecord.Jump(30_000, 34_000, 2000);
        DeflectionRecord[] records =
        [
            DeflectionRecord.Marker(3), DeflectionRecord.Jump(30_000, 30_000, 10), DeflectionRecord.Dot(30_000, 30_000, 10),
            DeflectionRecord.Jump(34_000, 30_000, 2000), DeflectionRecord.Dot(34_000, 30_000, 10),
            isBefore ? marker : jump, isBefore ? jump : marker, DeflectionRecord.Dot(30_000, 34_000, 10),
        ];
        StrayReport report = Scan(new SettleModel(0, 0, 1e8), new Blanker(false, true, 0, 0, 0), records);
        Assert.Equal([(3, 3, 3), (isBefore ? 6 : 5, 3, 8)], report.Worst.OrderBy(found => found.Record).Select(found => ((int)found.Record, found.FromFigure, found.ToFigure)));
    }

    /// <summary>Some of the beam comes through on every jump without a blanker, through one that leaks, and through one whose delay nobody makes up for.</summary>
    [Theory]
    [InlineData(false, 0, 0, false, 1e8, true)]
    [InlineData(true, 0, 0, false, 1e8, false)]
    [InlineData(true, 0.01, 0, false, 1e8, true)]
    [InlineData(true, 0, 1e-6, false, 1e8, true)]
    [InlineData(true, 0, 1e-6, true, 1e8, false)]
    [InlineData(true, 0.01, 1e-6, true, 1e8, true)]
    [InlineData(false, 0, 0, false, 0, false)]
    public void Jumps_add_up_where_the_beam_is_never_quite_off(bool isPresent, double leak, double offDelay, bool isCompensated, double slew, bool expected) => Assert.Equal(
        expected,
        StrayScan.AlwaysExposes(DefaultFiles.Machine with
        {
            Blanker = new Blanker(isPresent, true, offDelay, 0, leak) { IsCompensated = isCompensated },
            Settle = new SettleModel(0, 0, slew),
        }));

    [Fact]
    public void Write_fields_are_other_area()
    {
        SettleModel settle = new(0, 0, 1e8);
        Blanker none = new(false, true, 0, 0, 0);
        DeflectionRecord[] crossing =
        [
            DeflectionRecord.Jump(30_000, 30_000, 10), DeflectionRecord.Marker(0), DeflectionRecord.Dot(30_000, 30_000, 10),
            DeflectionRecord.Jump(34_000, 30_000, 2000), DeflectionRecord.Marker(1), DeflectionRecord.Dot(34_000, 30_000, 10),
        ];

        // A line that is written all along the way of the jump hides it only where it lies: in a field of its own it does not.
        DeflectionRecord[] covering = [DeflectionRecord.Jump(29_900, 30_000, 10), DeflectionRecord.Line(29_900, 30_000, 34_100, 30_000, 4201, 4_201_000)];
        Assert.Equal(0, Scan(settle, none, [.. covering, .. crossing]).Printing);
        StrayReport alone = Scan(settle, none, crossing);
        var scan = ScanOf(settle, none);
        scan.BeginField("r01c01");
        scan.Begin(Header);
        scan.Write(covering);
        scan.BeginField("r01c02");
        scan.Write(crossing);
        scan.BeginField("r01c03");
        scan.Write(crossing);
        scan.End();
        StrayReport report = scan.ToReport();
        Assert.Equal((5, 2), (report.Jumps, report.Printing));
        Assert.Equal(["r01c02", "r01c03"], report.Worst.Select(jump => jump.Field));
        Assert.All(report.Worst, jump => Assert.Equal(
            (alone.Worst[0].PrintedLengthNanometres, alone.Worst[0].PeakDoseCoulombsPerSquareMetre, 0, 1),
            (jump.PrintedLengthNanometres, jump.PeakDoseCoulombsPerSquareMetre, jump.FromFigure, jump.ToFigure)));
        Assert.StartsWith("figure 0 to figure 1 in field r01c02 from (-13.84, -13.84) um to ", StrayText.ListOf(report).First(), StringComparison.Ordinal);

        // Asking again gives the same.
        Assert.Equal(report.PrintedLengthNanometres, scan.ToReport().PrintedLengthNanometres);
        Assert.Equal(2, scan.ToReport().Worst.Length);

        // Figures of a field are not those of the next, which names none.
        scan = ScanOf(settle, none);
        scan.BeginField("r01c01");
        scan.Begin(Header);
        scan.Write(crossing);
        scan.BeginField("r01c02");
        scan.Write([.. crossing.Where(record => record.Kind != RecordKind.Marker)]);
        scan.End();
        Assert.Equal([("r01c01", 0, 1), ("r01c02", -1, -1)], scan.ToReport().Worst.Select(jump => (jump.Field, jump.FromFigure, jump.ToFigure)).Order());
    }

    [Fact]
    public void Jumps_of_one_document_after_another_are_told_apart()
    {
        var figures = new JumpFigures();
        Stroke[] strokes = [Stroke.Dot(4, 0, 0, 1), Stroke.Jump(5, 9, 9), Stroke.Dot(5, 9, 9, 1)];
        foreach (int _ in new[] { 0, 1 })
        {
            figures.Begin(new StrokesHeader(["a"]));
            figures.Write(strokes);
            figures.End();
        }

        // Scaling begins either document with a jump.
        Assert.Equal([(-1, 4), (4, 5), (-1, 4), (4, 5)], Enumerable.Range(0, figures.Count).Select(jump => figures.Of(jump)));
    }

    /// <summary>The pieces of a way take all its time, lie on it, and are as long as it is, whatever the response.</summary>
    [Fact]
    public void Pieces_of_a_way_add_up() =>
        Gen.Select(Gen.Double[0, 3], Gen.Double[0, 3], Gen.Double[-500, 500], Gen.Double[-500, 500], Gen.Double[0.1, 20]).Sample((tau, slew, x, y, end) =>
        {
            double timeConstant = tau < 1 ? 0 : tau;
            double speed = slew < 1 ? 0 : slew * 50;
            var response = new AxisResponse(timeConstant, speed);
            var pieces = new List<TrackPiece>();
            (double endX, double endY) = JumpTrack.Divide(response, x, y, 0, 0, end, 7, pieces);
            Assert.Equal(end, pieces.Sum(piece => piece.Seconds), 1e-9);
            Assert.Equal(response.After(x, end), endX, 1e-9);
            Assert.Equal(response.After(y, end), endY, 1e-9);
            Assert.All(pieces, piece => Assert.InRange(piece.LengthNanometres, 0, 7.001));
            double meanX = pieces.Sum(piece => piece.X * piece.Seconds) / end;
            Assert.Equal(response.Mean(x, 0, end), meanX, 1e-6 * (1 + Math.Abs(x)));
            double at = 0;
            foreach (TrackPiece piece in pieces)
            {
                Assert.Equal(at, piece.From, 1e-9);
                at += piece.Seconds;
            }
        }, iter: Iterations.Usually(300));

    [Fact]
    public void Widths_follow_the_cross_section()
    {
        // Where the peak is √e times the onset, the printed width is twice the standard deviation.
        Assert.Equal(40, StrayDose.PrintedWidth(Math.Sqrt(Math.E), 1, 20), 1e-9);
        Assert.Equal(0, StrayDose.PrintedWidth(0.9, 1, 20));

        // 1 nA at 1 mm/s is 1 µC/m; over 15 nm·√(2π) that is 26.596 C/m².
        Assert.Equal(26.5962, StrayDose.PeakOfTrack(1e-9, 1e6, 15), 4);
    }

    private static readonly Blanker None = new(false, true, 0, 0, 0);
    private static readonly SettleModel TenMicroseconds = new(0, 10e-6, 0);

    /// <summary>
    /// A first-order response of 10 µs. The last step of a line of two points, 20 µs each, leaves exp(−2) of it; a jump of 10 µs
    /// leaves exp(−1); a dot of 5 µs after it leaves exp(−1/2) of that. The next track begins there.
    /// </summary>
    [Fact]
    public void A_track_begins_where_the_beam_really_is()
    {
        DeflectionRecord[] rest = [DeflectionRecord.Jump(30_000, 30_000, 10), DeflectionRecord.Dot(30_000, 30_000, 10)];
        DeflectionRecord away = DeflectionRecord.Jump(34_000, 28_000, 100);
        DeflectionRecord far = DeflectionRecord.Jump(40_000, 33_000, 2000);
        AssertFrom(500 - 500 * Math.Exp(-2), -1000 + 1000 * Math.Exp(-2), [.. rest, DeflectionRecord.Line(30_000, 30_000, 30_100, 29_800, 2, 400), far]);
        AssertFrom(20_000 * (1 - Math.Exp(-1)), -10_000 * (1 - Math.Exp(-1)), [.. rest, away, far]);
        AssertFrom(20_000 * (1 - Math.Exp(-1.5)), -10_000 * (1 - Math.Exp(-1.5)), [.. rest, away, DeflectionRecord.Dot(34_000, 28_000, 50), far]);
        AssertFrom(20_000 * (1 - Math.Exp(-1.5)), -10_000 * (1 - Math.Exp(-1.5)), [.. rest, away, DeflectionRecord.Wait(50), far]);

        static void AssertFrom(double x, double y, DeflectionRecord[] records)
        {
            StrayJump last = Scan(TenMicroseconds, None, records).Worst.Single(jump => jump.Record == records.Length - 1);
            Assert.Equal((30_000 - 32_768) * 5 + x, last.FromXNanometres, 1e-6);
            Assert.Equal((30_000 - 32_768) * 5 + y, last.FromYNanometres, 1e-6);
        }
    }

    /// <summary>The full current of a blanker that is 4 µs late lasts through a jump of 1 µs and 3 µs of the next, no longer, and not into another write field.</summary>
    [Fact]
    public void A_late_blanker_is_late_once()
    {
        DeflectionRecord[] records =
        [
            DeflectionRecord.Jump(30_000, 30_000, 10), DeflectionRecord.Dot(30_000, 30_000, 10), DeflectionRecord.Jump(34_000, 30_000, 10),
            DeflectionRecord.Jump(34_000, 32_000, 1000), DeflectionRecord.Jump(30_000, 34_000, 1000),
        ];
        var late = new Blanker(true, true, 4e-6, 0, 0);
        Assert.Equal([2, 3], Scan(TenMicroseconds, late, records).Worst.Select(jump => jump.Record).Order());

        StrayScan scan = ScanOf(TenMicroseconds, late);
        scan.Begin(Header);
        scan.Write(records.AsSpan(0, 2));
        scan.BeginField("r01c02");
        scan.Write(records.AsSpan(2));
        scan.End();
        Assert.Equal(0, scan.ToReport().Printing);
    }

    /// <summary>100 pA at 0.1 m/s with σ = 20 nm: I/(v·σ·√2π), of which the near one of two equal terms gets half.</summary>
    [Theory]
    [InlineData(false, 1)]
    [InlineData(true, 0.5)]
    public void The_dose_of_a_track_is_what_stays_near_it(bool hasFarTerm, double part)
    {
        SpreadTerm near = new(SpreadShape.Gaussian, 20 * Math.Sqrt(2), 1);
        SpreadTerm[] terms = hasFarTerm ? [near, new SpreadTerm(SpreadShape.Gaussian, 10_000, 1)] : [near];
        var scan = new StrayScan(MachineWith(new SettleModel(0, 0, 1e8), None), new SpreadFunction([.. terms]), 5e-4);
        scan.Begin(Header);
        scan.Write([DeflectionRecord.Jump(30_000, 30_000, 10), DeflectionRecord.Dot(30_000, 30_000, 10), DeflectionRecord.Jump(30_000, 34_000, 2000), DeflectionRecord.Dot(30_000, 34_000, 10)]);
        scan.End();
        double dose = part * 1e-10 / 0.1 / (20e-9 * Math.Sqrt(2 * Math.PI));
        Assert.Equal(dose, Assert.Single(scan.ToReport().Worst).OwnDoseCoulombsPerSquareMetre, 1e-6 * dose);
    }

    /// <summary>
    /// Dots 8 µm apart, each on a tile of the maps of its own: 1600 tiles of 256 KiB are more than they may take, so jumps are judged
    /// alone, those before and those behind.
    /// </summary>
    [Fact]
    public void A_pattern_too_wide_for_the_maps_is_judged_jump_by_jump()
    {
        DeflectionRecord[] records = [.. Enumerable.Range(0, 1600).SelectMany(i => new[] { At(i, DeflectionRecord.Jump(0, 0, 1000)), At(i, DeflectionRecord.Dot(0, 0, 10)) })];
        StrayReport report = Scan(new SettleModel(0, 0, 1e8), None, records);
        Assert.True(report.IsAlone);
        Assert.Equal((1600, 1599), (report.Jumps, report.Printing));
        StrayReport few = Scan(new SettleModel(0, 0, 1e8), None, records[..40]);
        Assert.Equal((20, 19, false), (few.Jumps, few.Printing, few.IsAlone));

        // Rows of forty, there and back.
        static DeflectionRecord At(int i, DeflectionRecord record)
        {
            (int row, int column) = Math.DivRem(i, 40);
            column = row % 2 == 0 ? column : 39 - column;
            return record with { X = 1000 + 1600 * column, Y = 2000 + 1600 * row, EndX = 1000 + 1600 * column, EndY = 2000 + 1600 * row };
        }
    }

    /// <summary>Dots all along the way of a jump hide it, as a line does; those that lie 10 nm apart do, those 300 nm apart do not.</summary>
    [Theory]
    [InlineData(2, 0)]
    [InlineData(60, 1)]
    public void Dots_expose_the_area_that_they_lie_on(int stride, int printing)
    {
        List<DeflectionRecord> records = [DeflectionRecord.Jump(30_000, 29_900, 10)];
        for (int y = 29_900; y <= 34_100; y += stride)
        {
            records.Add(DeflectionRecord.Dot(30_000, y, 1000));
        }

        DeflectionRecord[] crossing = [DeflectionRecord.Jump(30_000, 30_000, 800), DeflectionRecord.Dot(30_000, 30_000, 10), DeflectionRecord.Jump(30_000, 34_000, 2000), DeflectionRecord.Dot(30_000, 34_000, 10)];
        Assert.Equal(printing, Math.Min(1, Scan(new SettleModel(0, 0, 1e8), None, [.. records, .. crossing]).Printing));
    }

    /// <summary>Two jumps 20 nm = σ apart that take just as long as they need: either has its own dose and exp(−½) of the other's.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Tracks_beside_each_other_add_up(bool isTurned)
    {
        DeflectionRecord[] records =
        [
            DeflectionRecord.Jump(30_000, 30_000, 10), DeflectionRecord.Dot(30_000, 30_000, 10), DeflectionRecord.Jump(30_000, 31_000, 500), DeflectionRecord.Dot(30_000, 31_000, 10),
            DeflectionRecord.Jump(30_004, 31_000, 2), DeflectionRecord.Dot(30_004, 31_000, 10), DeflectionRecord.Jump(30_004, 30_000, 500), DeflectionRecord.Dot(30_004, 30_000, 10),
        ];
        StrayReport report = Scan(new SettleModel(0, 0, 1e8), None, isTurned ? [.. records.Select(Turned)] : records);
        double dose = 1e-10 / 0.1 / (20e-9 * Math.Sqrt(2 * Math.PI));
        Assert.Equal(2, report.Printing);
        Assert.All(report.Worst, jump =>
        {
            Assert.Equal(1, jump.OwnDoseCoulombsPerSquareMetre / dose, 1e-6);
            Assert.Equal(1 + Math.Exp(-0.5), jump.PeakDoseCoulombsPerSquareMetre / dose, 0.025);
            Assert.InRange(jump.PrintedLengthNanometres, 4850, 5000);
        });
    }

    /// <summary>Dots at the corners of 10 µm by 5 µm; the beam goes 4 µm beyond one side and comes back. What lies 6σ = 120 nm beyond the bounds is around the pattern.</summary>
    [Theory]
    [InlineData(1, 0)]
    [InlineData(-1, 0)]
    [InlineData(0, 1)]
    [InlineData(0, -1)]
    public void Length_around_the_pattern_is_told_apart_on_every_side(int x, int y)
    {
        (int left, int bottom, int right, int top) = (30_000, 31_000, 32_000, 32_000);
        List<DeflectionRecord> records = [];
        foreach ((int cornerX, int cornerY) in new[] { (left, bottom), (right, bottom), (right, top), (left, top) })
        {
            records.AddRange([DeflectionRecord.Jump(cornerX, cornerY, 2000), DeflectionRecord.Dot(cornerX, cornerY, 10)]);
        }

        int startX = x > 0 ? right : left;
        int startY = y > 0 ? top : bottom;
        records.AddRange([DeflectionRecord.Jump(startX, startY, 2000), DeflectionRecord.Dot(startX, startY, 10)]);
        records.AddRange([DeflectionRecord.Jump(startX + 800 * x, startY + 800 * y, 2000), DeflectionRecord.Jump(startX, startY, 2000), DeflectionRecord.Dot(startX, startY, 10)]);
        Assert.Equal(2 * (4000 - 120), Scan(new SettleModel(0, 0, 1e8), None, [.. records]).OutsideLengthNanometres, 30.0);
    }

    /// <summary>The same way with x and y exchanged, or upside down, prints the same there; codes are 5 nm wide in x and 7 nm in y.</summary>
    [Fact]
    public void Exchanged_and_mirrored_ways_print_the_same()
    {
        RecordsHeader oblong = Header with { NanometresPerCodeY = 7 };
        DeflectionRecord[] records =
        [
            DeflectionRecord.Marker(3), DeflectionRecord.Jump(30_000, 31_000, 500), DeflectionRecord.Line(30_000, 31_000, 30_400, 31_000, 40, 4000),
            DeflectionRecord.Marker(5), DeflectionRecord.Jump(31_700, 32_100, 900), DeflectionRecord.Line(31_700, 32_100, 31_700, 31_800, 30, 600), DeflectionRecord.Dot(31_700, 31_790, 50),
            DeflectionRecord.Jump(30_300, 33_000, 300), DeflectionRecord.Wait(200), DeflectionRecord.Jump(29_000, 30_500, 900), DeflectionRecord.Marker(6), DeflectionRecord.Dot(29_000, 30_500, 30),
        ];
        StrayReport plain = Report(oblong, records);
        Assert.Equal((4, 4), (plain.Jumps, plain.Printing));
        Assert.NotEqual(0, plain.OutsideLengthNanometres);

        RecordsHeader exchanged = oblong with { NanometresPerCodeX = 7, NanometresPerCodeY = 5 };
        AssertSame(plain, Report(exchanged with { AxesAreSwapped = true }, [.. records.Select(Turned)]), (x, y) => (x, y), 1e-6);
        AssertSame(plain, Report(exchanged, [.. records.Select(Turned)]), (x, y) => (y, x), 1e-6);
        AssertSame(plain, Report(oblong with { NanometresPerCodeX = -5 }, records), (x, y) => (-x, y), 0.02);
        AssertSame(plain, Report(oblong with { NanometresPerCodeY = -7 }, records), (x, y) => (x, -y), 0.02);

        static StrayReport Report(RecordsHeader header, DeflectionRecord[] records)
        {
            StrayScan scan = ScanOf(new SettleModel(0, 8e-6, 2e8), new Blanker(true, true, 3e-6, 0, 0.4));
            scan.Begin(header);
            scan.Write(records);
            scan.End();
            return scan.ToReport();
        }

        static void AssertSame(StrayReport plain, StrayReport other, Func<double, double, (double, double)> turn, double part)
        {
            Assert.Equal(plain.Printing, other.Printing);
            AssertNear(plain.PrintedLengthNanometres, other.PrintedLengthNanometres);
            AssertNear(plain.OutsideLengthNanometres, other.OutsideLengthNanometres);
            AssertNear(plain.LargestDoseCoulombsPerSquareMetre, other.LargestDoseCoulombsPerSquareMetre);
            foreach ((StrayJump one, StrayJump two) in plain.Worst.OrderBy(jump => jump.Record).Zip(other.Worst.OrderBy(jump => jump.Record)))
            {
                Assert.Equal((one.Record, one.FromFigure, one.ToFigure, one.Cause), (two.Record, two.FromFigure, two.ToFigure, two.Cause));
                AssertNear(one.OwnDoseCoulombsPerSquareMetre, two.OwnDoseCoulombsPerSquareMetre);
                AssertNear(one.PrintedWidthNanometres, two.PrintedWidthNanometres);
                (double fromX, double fromY) = turn(two.FromXNanometres, two.FromYNanometres);
                (double toX, double toY) = turn(two.ToXNanometres, two.ToYNanometres);
                Assert.Equal(one.FromXNanometres, fromX, 1e-6);
                Assert.Equal(one.FromYNanometres, fromY, 1e-6);
                Assert.Equal(one.ToXNanometres, toX, 1e-6);
                Assert.Equal(one.ToYNanometres, toY, 1e-6);
            }

            void AssertNear(double expected, double actual) => Assert.Equal(1, actual / expected, part);
        }
    }

    /// <summary>
    /// Ground is looked at in pixels of σ/2 = 10 nm, and in so large a field that an eighth of it in 384 MiB of single numbers gives
    /// √(131 µm · 1311 µm / 8 · 4 / 384 MiB) = 14.6 nm, whichever axis is the long one: 604 nm then have 42 pieces, not 61.
    /// </summary>
    [Theory]
    [InlineData(2, 2, 61)]
    [InlineData(2, 20, 42)]
    [InlineData(20, 2, 42)]
    public void A_large_field_is_looked_at_more_coarsely(double stepX, double stepY, int pieces)
    {
        StrayScan scan = ScanOf(new SettleModel(0, 0, 1e8), None);
        scan.Begin(Header with { NanometresPerCodeX = stepX, NanometresPerCodeY = stepY });
        bool isAlongX = stepX < stepY;
        DeflectionRecord goal = isAlongX ? DeflectionRecord.Jump(30_302, 30_000, 100) : DeflectionRecord.Jump(30_000, 30_302, 100);
        scan.Write([DeflectionRecord.Jump(30_000, 30_000, 1), DeflectionRecord.Dot(20_000, 20_000, 1), DeflectionRecord.Jump(30_000, 30_000, 1_000_000), goal]);
        scan.End();
        StrayJump jump = scan.ToReport().Worst.Single(jump => jump.Record == 3);
        var points = Assert.Single(jump.Stretches);
        Assert.Equal(604.0 / pieces, isAlongX ? points[1].X - points[0].X : points[1].Y - points[0].Y, 1e-6);
    }

    /// <summary>Ways from where the beam is to where it is sent; none where it only waits, and of many every so many.</summary>
    [Fact]
    public void Ways_are_told_evenly_thinned()
    {
        StrayScan scan = ScanOf(new SettleModel(0, 0, 1e8), None);
        scan.Begin(Header);
        scan.Write([DeflectionRecord.Jump(32_768, 32_768, 10), DeflectionRecord.Dot(32_768, 32_768, 10)]);
        for (int i = 1; i <= 6; i++)
        {
            scan.Write([DeflectionRecord.Jump(32_768 + 200 * i, 32_768, 110), DeflectionRecord.Wait(20)]);
        }

        scan.End();
        Assert.Equal([(0, 1000), (1000, 2000), (2000, 3000), (3000, 4000), (4000, 5000), (5000, 6000)], Ends(100));

        // Twelve tracks with the waits; of these every third, from the first on, two of which are waits.
        Assert.Equal([(0, 1000), (3000, 4000)], Ends(5));

        (int, int)[] Ends(int most) => [.. scan.Paths(most).Select(way => ((int)Math.Round(way[0].X), (int)Math.Round(way[^1].X)))];
    }

    /// <summary>A way is told in as many parts whichever way it leads.</summary>
    [Theory]
    [InlineData(1, 0)]
    [InlineData(-1, 0)]
    [InlineData(0, 1)]
    [InlineData(0, -1)]
    [InlineData(3, 1)]
    [InlineData(-3, 1)]
    [InlineData(3, -1)]
    [InlineData(-3, -1)]
    [InlineData(1, -3)]
    [InlineData(-1, -3)]
    public void A_way_has_as_many_parts_in_every_direction(int right, int up)
    {
        StrayScan scan = ScanOf(new SettleModel(0, 0, 1e8), None);
        scan.Begin(Header);
        scan.Write([DeflectionRecord.Jump(32_868, 32_668, 10), DeflectionRecord.Dot(32_868, 32_668, 10), DeflectionRecord.Jump(32_868 + 100 * right, 32_668 + 100 * up, 2000)]);
        scan.End();
        ImmutableArray<(double X, double Y)> way = Assert.Single(scan.Paths(100));
        Assert.Equal((500, -500), ((int)Math.Round(way[0].X), (int)Math.Round(way[0].Y)));
        Assert.Equal((500 + 500 * right, -500 + 500 * up), ((int)Math.Round(way[^1].X), (int)Math.Round(way[^1].Y)));
        StrayScan other = ScanOf(new SettleModel(0, 0, 1e8), None);
        other.Begin(Header);
        other.Write([DeflectionRecord.Jump(32_868, 32_668, 10), DeflectionRecord.Dot(32_868, 32_668, 10), DeflectionRecord.Jump(32_868 + 100 * Math.Max(Math.Abs(right), Math.Abs(up)), 32_668 + 100 * Math.Min(Math.Abs(right), Math.Abs(up)), 2000)]);
        Assert.Equal(other.Paths(100)[0].Length, way.Length);
        Assert.InRange(way.Length, 10, 1000);
    }

    private static DeflectionRecord Turned(DeflectionRecord record) => record with { X = record.Y, Y = record.X, EndX = record.EndY, EndY = record.EndX };

    private static StrayReport Scan(SettleModel settle, Blanker blanker) => Scan(settle, blanker,
    [
        DeflectionRecord.Jump(30_000, 30_000, 10), DeflectionRecord.Dot(30_000, 30_000, 10),
        DeflectionRecord.Jump(34_000, 30_000, 2000), DeflectionRecord.Dot(34_000, 30_000, 10),
    ]);

    private static StrayReport Scan(SettleModel settle, Blanker blanker, DeflectionRecord[] records, JumpFigures? figures = null)
    {
        StrayScan scan = ScanOf(settle, blanker, figures);
        scan.Begin(Header);
        scan.Write(records);
        scan.End();
        return scan.ToReport();
    }

    private static StrayScan ScanOf(SettleModel settle, Blanker blanker, JumpFigures? figures = null) => new(
        MachineWith(settle, blanker), new SpreadFunction([new SpreadTerm(SpreadShape.Gaussian, 20 * Math.Sqrt(2), 1)]), 5e-4, figures);

    private static Machine MachineWith(SettleModel settle, Blanker blanker) => new(
        "m", Header.Dac, new Deflection(327_680, 327_680, false, false, false, AffineCalibration.Identity), settle,
        new Clock(1e7, 1, 1_000_000), blanker, new Beam(1e-10, 20, 30_000), new Link(1e6, 4096, true));
}
