using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Route;

namespace PatternCompiler.Tests.Passes.Route;

public sealed class ApproachedStrokesTests
{
    private const long Reach = 1000;

    [Fact]
    public void A_stroke_to_the_left_is_written_from_its_other_end()
    {
        List<Stroke> written = Approach(Stroke.Jump(3, 500, 20), Stroke.Line(3, 500, 20, 100, 20, 5, 77));
        Assert.Equal([Stroke.Jump(3, 100 - Reach, 20 - Reach), Stroke.Jump(3, 100, 20), Stroke.Line(3, 100, 20, 500, 20, 5, 77)], written);
    }

    [Fact]
    public void Rows_to_and_fro_become_rows_to_the_right()
    {
        List<Stroke> written = Approach(
            Stroke.Jump(0, 0, 0), Stroke.Line(0, 0, 0, 90, 0, 10, 1), Stroke.Dot(0, 95, 0, 2), Stroke.Dot(0, 95, 10, 3), Stroke.Line(0, 90, 10, 0, 10, 10, 4), Stroke.Jump(0, -50, -50));
        Assert.Equal(
            [
                Stroke.Jump(0, -Reach, -Reach), Stroke.Jump(0, 0, 0), Stroke.Line(0, 0, 0, 90, 0, 10, 1), Stroke.Dot(0, 95, 0, 2), Stroke.Dot(0, 95, 10, 3),
                Stroke.Jump(0, -Reach, 10 - Reach), Stroke.Jump(0, 0, 10), Stroke.Line(0, 0, 10, 90, 10, 10, 4),
                Stroke.Jump(0, -50, -50),
            ],
            written);
    }

    [Fact]
    public void Waiting_for_the_trigger_stays_last_before_the_beam_comes_on()
    {
        List<Stroke> written = Approach(Stroke.Await(1, 300, 0, 5_000_000), Stroke.Line(1, 300, 0, 0, 0, 4, 9));
        Assert.Equal([Stroke.Jump(1, -Reach, -Reach), Stroke.Await(1, 0, 0, 5_000_000), Stroke.Line(1, 0, 0, 300, 0, 4, 9)], written);
    }

    [Fact]
    public void What_runs_down_to_the_right_is_told()
    {
        var sink = new DiagnosticSink();
        Approach(sink, Stroke.Jump(0, 0, 0), Stroke.Line(0, 0, 0, 50, -50, 5, 1));
        Assert.Equal(
            "note PC1306: 1 stroke runs to the right and down: along y they are written from above, whichever end comes first; what lies slanted keeps the hysteresis of one axis; fill areas in rows along x or y",
            Assert.Single(sink.Collected).ToString());
    }

    /// <summary>To the right and down, or from there back; no matter where, and of points alone never.</summary>
    [Theory]
    [InlineData(70, -300)]
    [InlineData(-300, 70)]
    [InlineData(0, 0)]
    public void What_runs_down_is_told_wherever_it_stands(long x, long y)
    {
        var sink = new DiagnosticSink();
        foreach ((long right, long up) in (ReadOnlySpan<(long, long)>)[(5, 0), (5, 7), (0, 7), (-5, 0), (-5, -7), (0, -7)])
        {
            Approach(sink, Stroke.Jump(0, x, y), Stroke.Line(0, x, y, x + right, y + up, 5, 1), Stroke.Dot(0, x - up, y + right, 1));
        }

        Assert.Empty(sink.Collected);
        Approach(sink, Stroke.Jump(0, x, y), Stroke.Line(0, x, y, x + 5, y - 7, 5, 1), Stroke.Jump(0, x, y), Stroke.Line(0, x, y, x - 7, y + 5, 5, 1));
        Assert.StartsWith("note PC1306: 2 strokes run to the right and down: ", Assert.Single(sink.Collected).ToString(), StringComparison.Ordinal);
    }

    /// <summary>
    /// Of any strokes: the same points get the same charges, every exposure follows an approach or goes on from the one before, and
    /// along axes neither output ever turns while the beam is on.
    /// </summary>
    [Fact]
    public void Charge_and_places_stay_and_no_axis_turns_with_the_beam_on()
    {
        Gen<Stroke> stroke = Gen.Select(Gen.Int[0, 4], Gen.Long[-5, 5], Gen.Long[-5, 5], Gen.Long[-5, 5], Gen.Int[0, 1], Gen.Long[0, 9]).Select((kind, x, y, to, figure, charge) => kind switch
        {
            0 => Stroke.Jump(figure, 10 * x, 10 * y),
            1 => Stroke.Dot(figure, 10 * x, 10 * y, charge),
            2 => Stroke.Line(figure, 10 * x, 10 * y, 10 * x, 10 * to, (int)Math.Abs(to - y) + 1, charge),
            _ => Stroke.Line(figure, 10 * x, 10 * y, 10 * to, 10 * y, (int)Math.Abs(to - x) + 1, charge),
        });
        stroke.Array[1, 30].Sample(strokes =>
        {
            Stroke[] all = [Stroke.Jump(0, 0, 0), .. strokes];
            List<Stroke> written = Approach(all);
            Assert.Equal(Exposed(all), Exposed(written));
            for (int i = 1; i < written.Count; i++)
            {
                (Stroke before, Stroke now) = (written[i - 1], written[i]);
                if (now.IsBlanked)
                {
                    continue;
                }

                Assert.True(now.EndXFemtometres >= now.XFemtometres && now.EndYFemtometres >= now.YFemtometres, $"stroke {i} runs back");
                if (before.IsBlanked)
                {
                    Assert.Equal((now.XFemtometres, now.YFemtometres), (before.XFemtometres, before.YFemtometres));
                    Assert.Equal((now.XFemtometres - Reach, now.YFemtometres - Reach), (written[i - 2].XFemtometres, written[i - 2].YFemtometres));
                }
                else
                {
                    Assert.True(now.XFemtometres >= before.EndXFemtometres && now.YFemtometres >= before.EndYFemtometres, $"the way to stroke {i} leads back");
                }
            }
        }, iter: Iterations.Usually(100));
    }

    [Fact]
    public void Loops_come_before_the_first_exposure_and_once()
    {
        var output = new CollectingSink<StrokesHeader, Stroke>();
        var pass = new ConditionedStrokes(output, [(-9, -8), (9, -8), (9, 8), (-9, 8)], 2);
        pass.Begin(new StrokesHeader(["a"]));
        foreach (Stroke stroke in (Stroke[])[Stroke.Jump(4, 1, 1), Stroke.Jump(4, 2, 2), Stroke.Dot(4, 2, 2, 5), Stroke.Jump(5, 3, 3), Stroke.Dot(5, 3, 3, 5)])
        {
            pass.Write([stroke]);
        }

        pass.End();
        (long, long)[] loop = [(-9, -8), (9, -8), (9, 8), (-9, 8)];
        Assert.Equal(
            [
                Stroke.Jump(4, 1, 1), .. loop.Concat(loop).Append((-9, -8)).Select(corner => Stroke.Jump(4, corner.Item1, corner.Item2)),
                Stroke.Jump(4, 2, 2), Stroke.Dot(4, 2, 2, 5), Stroke.Jump(5, 3, 3), Stroke.Dot(5, 3, 3, 5),
            ],
            output.Items);
    }

    private static List<string> Exposed(IEnumerable<Stroke> strokes) =>
    [
        .. strokes.Where(stroke => !stroke.IsBlanked).Select(stroke =>
        {
            (long X, long Y) a = (stroke.XFemtometres, stroke.YFemtometres), b = (stroke.EndXFemtometres, stroke.EndYFemtometres);
            (a, b) = a.CompareTo(b) <= 0 ? (a, b) : (b, a);
            return $"{stroke.Figure} {a} {b} {stroke.Points} {stroke.ChargeZeptocoulombs}";
        }).Order(StringComparer.Ordinal),
    ];

    private static List<Stroke> Approach(params Stroke[] strokes) => Approach(new DiagnosticSink(), strokes);

    private static List<Stroke> Approach(DiagnosticSink sink, params Stroke[] strokes)
    {
        var output = new CollectingSink<StrokesHeader, Stroke>();
        var pass = new ApproachedStrokes(output, Reach, sink);
        pass.Begin(new StrokesHeader(["a"]));
        pass.Write(strokes);
        pass.End();
        Assert.True(output.HasEnded);
        return output.Items;
    }
}
