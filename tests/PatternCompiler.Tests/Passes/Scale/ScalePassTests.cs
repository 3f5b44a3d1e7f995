using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Tests.Passes.Fill;

namespace PatternCompiler.Tests.Passes.Scale;

public sealed class ScalePassTests
{
    private static readonly ScaleOptions Options = ScaleCase.Options;

    [Fact]
    public void Positions_become_codes_and_charge_becomes_ticks()
    {
        List<DeflectionRecord> records = ScaleCase.Scale(
            Options,
            Stroke.Jump(0, 0, 0),
            Stroke.Line(0, 0, 0, 30_000_000, 0, 4, 40 * ScaleCase.TickCharge),
            Stroke.Dot(0, 30_400_000, 600_000, 7 * ScaleCase.TickCharge));
        Assert.Equal(
            [
                DeflectionRecord.Jump(32768, 32768, 10),
                DeflectionRecord.Line(32768, 32768, 32798, 32768, 4, 40),
                DeflectionRecord.Dot(32798, 32769, 7),
            ],
            records);
    }

    [Fact]
    public void The_header_says_what_the_codes_mean()
    {
        var turned = Options with
        {
            Deflection = new Deflection(65_536, 131_072, true, false, true, AffineCalibration.Identity),
            BlankLevel = BlankLevel.Low,
            MadeFor = new MadeFor(SettingsDigest.Of("machine"u8), SettingsDigest.Of("process"u8)),
        };

        // What the strokes were made for, they say themselves.
        RecordsHeader? header = ScaleCase.Collect(turned).Header;
        Assert.Equal(new RecordsHeader("bench", Options.Dac, 1e7, 1, 1_000_000, 2, -1, true) { BlankLevel = BlankLevel.Low, MadeFor = turned.MadeFor with { Exposure = default } }, header);
    }

    [Fact]
    public void Swapped_and_inverted_axes_and_the_affine_correction_apply_in_that_order()
    {
        var turned = Options with
        {
            Deflection = new Deflection(65_536, 65_536, true, false, true, new AffineCalibration(2, 0, 100, 0, 1, -50)),
        };

        // x = 10 nm is commanded as 120 nm, inverted, on the Y output; y = 20 nm as −30 nm on the X output.
        DeflectionRecord jump = ScaleCase.Scale(turned, Stroke.Jump(0, 10_000_000, 20_000_000))[0];
        Assert.Equal((32768 - 30, 32768 - 120), (jump.X, jump.Y));
    }

    /// <summary>
    /// Three quarters of a first-order response take τ·ln 4 (single-pole step response); what follows a pass starts from
    /// there.
    /// </summary>
    [Fact]
    public void A_pass_is_left_when_three_quarters_of_its_way_are_covered()
    {
        ScaleOptions slow = Options with { Settle = new SettleModel(1e-6, 100e-6, 0) };
        List<DeflectionRecord> records = ScaleCase.Scale(slow, Stroke.Jump(0, 0, 0), Stroke.Via(0, 4_000_000_000, 0), Stroke.Jump(0, 3_000_000_000, 0));
        Assert.Equal((RecordKind.Jump, 36768, (long)Math.Ceiling(1000 * Math.Log(4))), (records[1].Kind, records[1].X, records[1].Ticks));

        // The beam is where the jump leads, within what a tick's rounding moves it: nothing is left to settle but the fixed wait.
        Assert.Equal(DeflectionRecord.Jump(35768, 32768, 10), records[2] with { Ticks = 10 });
        Assert.InRange(records[2].Ticks, 10, 2000);

        // With a speed limit of 1 nm/µs and no lag, 3000 nm take 3 ms; then the other axis starts.
        ScaleOptions slewing = Options with { Settle = new SettleModel(1e-6, 0, 1e6) };
        records = ScaleCase.Scale(slewing, Stroke.Jump(0, 0, 0), Stroke.Via(0, 4_000_000_000, 0), Stroke.Jump(0, 3_000_000_000, 2_000_000_000));
        Assert.Equal(30_000, records[1].Ticks);
        Assert.Equal(19_995, records[2].Ticks);
    }

    [Fact]
    public void The_beam_settles_before_it_goes_on_even_if_no_jump_follows_a_pass()
    {
        ScaleOptions slewing = Options with { Settle = new SettleModel(1e-6, 0, 1e6) };
        List<DeflectionRecord> records = ScaleCase.Scale(
            slewing, Stroke.Jump(0, 0, 0), Stroke.Via(0, 4_000_000_000, 0), Stroke.Dot(0, 3_000_000_000, 2_000_000_000, 1_000_000));
        Assert.Equal([RecordKind.Jump, RecordKind.Jump, RecordKind.Jump, RecordKind.Dot], records.Select(record => record.Kind));
        Assert.Equal((records[3].X, records[3].Y, 19_995), (records[2].X, records[2].Y, records[2].Ticks));
    }

    [Fact]
    public void A_document_that_starts_exposing_still_gets_its_first_jump()
    {
        List<DeflectionRecord> records = ScaleCase.Scale(Options, Stroke.Dot(0, 0, 0, ScaleCase.TickCharge));
        Assert.Equal([RecordKind.Jump, RecordKind.Dot], records.Select(r => r.Kind));
    }

    [Fact]
    public void Markers_number_the_figures_when_asked()
    {
        List<DeflectionRecord> records = ScaleCase.Scale(
            Options with { WritesMarkers = true },
            Stroke.Jump(3, 0, 0),
            Stroke.Dot(3, 0, 0, ScaleCase.TickCharge),
            Stroke.Jump(5, 0, 0),
            Stroke.Dot(5, 0, 0, ScaleCase.TickCharge));
        Assert.Equal(
            [RecordKind.Marker, RecordKind.Jump, RecordKind.Dot, RecordKind.Marker, RecordKind.Jump, RecordKind.Dot],
            records.Select(r => r.Kind));
        Assert.Equal([3, 5], records.Where(r => r.Kind == RecordKind.Marker).Select(r => r.Ticks));
    }

    [Fact]
    public void Settling_grows_with_the_jump_and_never_falls_below_the_fixed_part()
    {
        // τ = 2 µs: 1,000 codes to half a code take 2·ln(2000) = 15.2 µs; 2 codes take 2·ln 4 = 2.77 µs, below the 5 µs.
        var slow = Options with { Settle = new SettleModel(5e-6, 2e-6, 0) };
        List<DeflectionRecord> records = ScaleCase.Scale(
            slow,
            Stroke.Jump(0, 0, 0),
            Stroke.Jump(0, 300_000_000, 1_000_000_000),
            Stroke.Jump(0, 302_000_000, 1_000_000_000));
        Assert.Equal([(long)Math.Ceiling(20 * Math.Log(2 * 65536)), 153, 50], records.Select(r => r.Ticks));
    }

    [Fact]
    public void The_remainder_of_the_dwell_is_carried_along_the_figure()
    {
        Stroke third = Stroke.Dot(0, 0, 0, ScaleCase.TickCharge * 10 / 3);
        Assert.Equal([3L, 4L, 3L], ScaleCase.Scale(Options, third, third, third).Skip(1).Select(r => r.Ticks));
    }

    [Fact]
    public void Every_figure_gets_its_ticks_to_half_a_tick_even_when_figures_alternate()
    {
        Gen.Select(Gen.Int[0, 40], Gen.Long[ScaleCase.TickCharge, 60 * ScaleCase.TickCharge]).Array[1, 200].Sample(
            strokes =>
            {
                List<DeflectionRecord> records = ScaleCase.Scale(
                    Options with { WritesMarkers = true },
                    [.. strokes.Select(s => Stroke.Dot(s.Item1, 0, 0, s.Item2))]);
                var delivered = new long[41];
                int figure = 0;
                foreach (DeflectionRecord record in records)
                {
                    figure = record.Kind == RecordKind.Marker ? (int)record.Ticks : figure;
                    delivered[figure] += record.Kind == RecordKind.Dot ? record.Ticks : 0;
                }

                return strokes.GroupBy(s => s.Item1).All(g =>
                    Math.Abs(delivered[g.Key] - g.Sum(s => (decimal)s.Item2) / ScaleCase.TickCharge) <= 0.5000001m);
            },
            iter: Iterations.Usually(100));
    }

    [Fact]
    public void Filled_figures_are_delivered_to_half_a_tick()
    {
        FillCase.Trapezoids.Array[1, 4].Sample(
            figures =>
            {
                Stroke[] strokes = [.. FillCase.Fill(FillCase.Options with { SmallestPointChargeCoulombs = 1e-17 }, figures)];
                List<DeflectionRecord> records = ScaleCase.Scale(Options with { WritesMarkers = true }, strokes);
                var delivered = new long[figures.Length];
                int figure = 0;
                foreach (DeflectionRecord record in records)
                {
                    figure = record.Kind == RecordKind.Marker ? (int)record.Ticks : figure;
                    delivered[figure] += record.Points > 0 ? record.Ticks : 0;
                }

                return Enumerable.Range(0, figures.Length).All(i =>
                    Math.Abs(delivered[i] - Asked(figures[i]) / ScaleCase.TickCharge) <= 0.5001m || Asked(figures[i]) < ScaleCase.TickCharge);
            },
            iter: Iterations.Usually(100));

        static decimal Asked(Figure f) => 25m * f.DoseFactor.Millionths / 1_000_000m * FillCase.AreaOf(f.Shape);
    }

    [Fact]
    public void Every_point_of_a_line_is_within_one_code_of_its_place()
    {
        Gen<long> place = Gen.Long[-32_000_000_000, 32_000_000_000];
        Gen.Select(place, place, place, place, Gen.Int[2, 200]).Sample(
            (x0, y0, x1, y1, points) =>
            {
                DeflectionRecord line = ScaleCase.Scale(Options, Stroke.Line(0, x0, y0, x1, y1, points, points * ScaleCase.TickCharge))[^1];
                for (int i = 0; i < points; i++)
                {
                    LinePoint point = LinePoints.At(line, i);
                    decimal x = 32768 + (x0 + (decimal)i * (x1 - x0) / (points - 1)) / 1_000_000m;
                    decimal y = 32768 + (y0 + (decimal)i * (y1 - y0) / (points - 1)) / 1_000_000m;
                    decimal limit = i == 0 || i == points - 1 ? 0.5m : 1m;
                    if (Math.Abs(point.X - x) > limit || Math.Abs(point.Y - y) > limit)
                    {
                        return false;
                    }
                }

                return true;
            },
            iter: Iterations.Usually(200));
    }

    [Fact]
    public void Leaving_the_field_is_an_error_that_says_where_and_by_how_much()
    {
        AssertRefused(
            "figure 17 at (32.769, 0) um: error PC1401: (32.769, 0) um lies outside the field: by 0.002 um in x (output X would need 10.000305 V, it reaches from -10 V to 9.999695 V); move or shrink the drawing, or enlarge the field in the machine file",
            Options,
            Stroke.Jump(17, 32_769_000_000, 0));
        AssertRefused(
            "figure 2 at (-40, 50) um: error PC1401: (-40, 50) um lies outside the field: by 7.232 um in x (output X would need -12.207031 V, it reaches from -10 V to 9.999695 V); by 17.233 um in y (output Y would need 15.258789 V, it reaches from -10 V to 9.999695 V); move or shrink the drawing, or enlarge the field in the machine file",
            Options,
            Stroke.Jump(2, -40_000_000_000, 50_000_000_000));

        // The last half code belongs to the last code.
        Assert.Equal(65535, ScaleCase.Scale(Options, Stroke.Jump(0, 32_767_400_000, 0))[0].X);
        Assert.Equal(0, ScaleCase.Scale(Options, Stroke.Jump(0, -32_768_400_000, 0))[0].X);
    }

    /// <summary>The step that is told is that from point to point, wherever the stroke begins and wherever it leads: four steps of (3, 4) nm, or 5 nm, each way.</summary>
    [Theory]
    [InlineData(12, 16)]
    [InlineData(-12, 16)]
    [InlineData(12, -16)]
    [InlineData(-16, -12)]
    [InlineData(0, 20)]
    [InlineData(-20, 0)]
    public void The_step_that_is_told_is_that_of_the_stroke(int right, int up)
    {
        const long Nanometre = 1_000_000;
        foreach ((long x, long y) in (ReadOnlySpan<(long, long)>)[(0, 0), (900, -70), (-31, 4500)])
        {
            Stroke With(long ticks) => Stroke.Line(4, x * Nanometre, y * Nanometre, (x + right) * Nanometre, (y + up) * Nanometre, 5, 5 * ticks * ScaleCase.TickCharge);
            string at = FormattableString.Invariant($"figure 4 at ({x / 1000.0}, {y / 1000.0}) um: error ");
            AssertRefused(
                at + "PC1402: each point needs 4 ticks (400 ns), below the controller's shortest dwell of 10 ticks (1 us); lower the beam current from 100 pA to at most 40 pA, or raise the point step from 5 nm to at least 12.5 nm (or the line pitch by the same factor)",
                Options with { Clock = new Clock(1e7, 10, 1_000_000) },
                With(4));
            AssertRefused(
                at + "PC1403: each point needs 2500 ticks (250 us), above the controller's longest dwell of 1000 ticks (100 us); write in 3 passes or more, lower the point step from 5 nm to at most 2 nm, or raise the beam current from 100 pA to at least 250 pA",
                Options with { Clock = new Clock(1e7, 1, 1000) },
                With(2500));
        }
    }

    [Fact]
    public void A_dwell_that_is_too_short_says_what_would_mend_it()
    {
        var slow = Options with { Clock = new Clock(1e7, 10, 1_000_000) };
        AssertRefused(
            "figure 4 at (0, 0) um: error PC1402: each point needs 4 ticks (400 ns), below the controller's shortest dwell of 10 ticks (1 us); lower the beam current from 100 pA to at most 40 pA, or raise the point step from 10 nm to at least 25 nm (or the line pitch by the same factor)",
            slow,
            Stroke.Line(4, 0, 0, 100_000_000, 0, 11, 44 * ScaleCase.TickCharge));
        AssertRefused(
            "figure 4 at (0, 0) um: error PC1402: each point needs 3 ticks (300 ns), below the controller's shortest dwell of 10 ticks (1 us); lower the beam current from 100 pA to at most 30 pA",
            slow,
            Stroke.Dot(4, 0, 0, 3 * ScaleCase.TickCharge));
    }

    [Fact]
    public void A_dwell_that_is_too_long_says_what_would_mend_it()
    {
        var narrow = Options with { Clock = new Clock(1e7, 1, 1000) };
        AssertRefused(
            "figure 4 at (0, 0) um: error PC1403: each point needs 2500 ticks (250 us), above the controller's longest dwell of 1000 ticks (100 us); write in 3 passes or more, lower the point step from 10 nm to at most 4 nm, or raise the beam current from 100 pA to at least 250 pA",
            narrow,
            Stroke.Line(4, 0, 0, 10_000_000, 0, 2, 5000 * ScaleCase.TickCharge));
    }

    [Fact]
    public void A_measured_table_of_settling_is_interpolated()
    {
        var measured = Options with { Settle = new SettleModel(2e-6, 1, 1) { Table = [new SettlePoint(100, 10e-6), new SettlePoint(1100, 30e-6)] } };
        List<DeflectionRecord> records = ScaleCase.Scale(
            measured,
            Stroke.Jump(0, 0, 0),
            Stroke.Jump(0, 50_000_000, 0),
            Stroke.Jump(0, 50_000_000, 600_000_000),
            Stroke.Jump(0, 5_000_000_000, 600_000_000));
        Assert.Equal([300, 100, 200, 300], records.Select(r => r.Ticks));
    }

    [Fact]
    public void A_drifting_beam_current_is_interpolated_between_two_readings()
    {
        // 100 pA fall to 50 pA within 1 ms (10,000 ticks) and stay there. What arrives until tick t is t - t²/40,000 ticks' worth
        // at 100 pA: 5000 until 20,000 (1 - √½) = 5858, 7500 until the second reading. The second dot gets 2500 of its 5000 in
        // the 4142 ticks before that, and the others in 5000 ticks at 50 pA.
        var drifting = Options with { Beam = Options.Beam with { Later = new CurrentReading(1e-3, 50e-12) }, Settle = new SettleModel(0, 0, 0) };
        Stroke dot = Stroke.Dot(0, 0, 0, 5000 * ScaleCase.TickCharge);
        List<DeflectionRecord> records = ScaleCase.Scale(drifting, dot, dot, dot);
        Assert.Equal([5858L, 9142L, 10_000L], records.Skip(1).Select(r => r.Ticks));
    }

    [Fact]
    public void Nothing_is_written_after_a_fault()
    {
        var output = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var pass = new ScalePass(Options, output);
        pass.Begin(new StrokesHeader([]));
        Assert.Throws<CompileException>(() => pass.Write([Stroke.Jump(0, long.MaxValue, 0)]));
        Assert.False(output.HasEnded);
    }

    private static void AssertRefused(string expected, ScaleOptions options, params Stroke[] strokes) =>
        Assert.Equal(expected, Assert.Throws<CompileException>(() => ScaleCase.Scale(options, strokes)).Message);
}
