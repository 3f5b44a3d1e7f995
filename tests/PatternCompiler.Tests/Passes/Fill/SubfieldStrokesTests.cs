using CsCheck;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Order;

namespace PatternCompiler.Tests.Passes.Fill;

public sealed class SubfieldStrokesTests
{
    private static readonly SubfieldGrid Grid = new(1000, 700) { XOriginFemtometres = -3, YOriginFemtometres = 5 };

    [Fact]
    public void A_line_is_cut_between_points_and_its_charge_shared_without_loss()
    {
        var order = new SubfieldStrokes(Grid);
        order.Add(Stroke.Line(7, 0, 10, 2500, 10, 6, 100), startsRow: true);
        Assert.Equal(
            [
                (Stroke.Line(7, 0, 10, 500, 10, 2, 33), true),
                (Stroke.Line(7, 1000, 10, 1500, 10, 2, 33), true),
                (Stroke.Line(7, 2000, 10, 2500, 10, 2, 34), true),
            ],
            order.InOrder.SelectMany(cell => cell));
    }

    [Fact]
    public void Every_other_row_is_written_backwards()
    {
        var order = new SubfieldStrokes(Grid);
        foreach ((long x, long y) in new[] { (10L, 1000L), (2010, 10), (10, 10), (1010, 1000), (1010, 10), (2010, 1000) })
        {
            order.Add(Stroke.Dot(0, x, y, 1), startsRow: true);
        }

        Assert.Equal(
            [(10L, 10L), (1010, 10), (2010, 10), (2010, 1000), (1010, 1000), (10, 1000)],
            order.InOrder.SelectMany(cell => cell).Select(part => (part.Stroke.XFemtometres, part.Stroke.YFemtometres)));
    }

    /// <summary>The coarse converter settles at every change of sub-field, so that the beam is off there, however near the next point is.</summary>
    [Fact]
    public void Each_sub_field_is_entered_by_a_jump()
    {
        const int Nanometre = 1_000_000;
        FillOptions options = FillCase.Options with { Order = new OrderOptions(WritingOrder.ShortTravel) { Subfields = new SubfieldGrid(50 * Nanometre, 50 * Nanometre) } };
        List<Stroke> strokes = FillCase.Fill(options, FillCase.Rectangle(0, 0, 1000, 100));
        Assert.Equal(
            [(StrokeKind.Jump, 5, 5), (StrokeKind.Line, 5, 45), (StrokeKind.Jump, 55, 55), (StrokeKind.Line, 55, 95)],
            strokes.Select(stroke => (stroke.Kind, (int)(stroke.XFemtometres / Nanometre), (int)(stroke.EndXFemtometres / Nanometre))));
    }

    [Fact]
    public void Points_and_charge_stay_and_every_part_lies_in_one_sub_field() =>
        Gen.Select(Gen.Long[-9000, 9000], Gen.Long[-9000, 9000], Gen.Long[-9000, 9000], Gen.Long[-9000, 9000], Gen.Int[2, 60], Gen.Long[0, 1_000_000]).Array[1, 20].Sample(
            lines =>
            {
                var order = new SubfieldStrokes(Grid);
                Stroke[] strokes = [.. lines.Select((l, i) => Stroke.Line(i, l.Item1, l.Item2, l.Item3, l.Item4, l.Item5, l.Item6))];
                foreach (Stroke stroke in strokes)
                {
                    order.Add(stroke, startsRow: false);
                }

                Stroke[] parts = [.. order.InOrder.SelectMany(cell => cell).Select(part => part.Stroke)];
                foreach (Stroke stroke in strokes)
                {
                    Stroke[] own = [.. parts.Where(part => part.Figure == stroke.Figure)];
                    Assert.Equal(stroke.ChargeZeptocoulombs, own.Sum(part => part.ChargeZeptocoulombs));
                    Assert.Equal(stroke.Points, own.Sum(part => part.Points));
                    Assert.Contains((stroke.XFemtometres, stroke.YFemtometres), own.Select(part => (part.XFemtometres, part.YFemtometres)));
                    Assert.Contains((stroke.EndXFemtometres, stroke.EndYFemtometres), own.Select(part => (part.EndXFemtometres, part.EndYFemtometres)));
                }

                Assert.All(parts, part => Assert.Equal(Grid.At(part.XFemtometres, part.YFemtometres), Grid.At(part.EndXFemtometres, part.EndYFemtometres)));
            },
            iter: Iterations.Usually(200));
}
