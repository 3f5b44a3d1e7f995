using System.Collections.Immutable;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Order;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill;

public sealed class FigureOrderTests
{
    private static readonly Gen<Figure> SomeFigure =
        from kind in Gen.Int[0, 2]
        from x in Gen.Int[-100_000, 100_000]
        from y in Gen.Int[-100_000, 100_000]
        from width in Gen.Int[50, 4_000]
        from height in Gen.Int[50, 4_000]
        from dose in Gen.Int[7, 13]
        select kind switch
        {
            0 => FillCase.Rectangle(x, y, width, height) with { DoseFactor = new DoseFactor(100_000 * dose) },
            1 => Figure.FromLine(0, new DoseFactor(100_000 * dose), new GridPoint(x, y), new GridPoint(x + width, y + height)),
            _ => Figure.FromDot(0, new DoseFactor(100_000 * dose), new GridPoint(x, y)),
        };

    [Theory]
    [InlineData("lines")]
    [InlineData("one-way lines")]
    public void The_travel_that_is_told_is_the_travel_that_is_written(string strategy) => SomeFigure.Array[1, 40].Sample(
        figures =>
        {
            FillOptions options = FillCase.With(FillCase.Options.AllLayers with { Strategy = FillStrategy.Of(strategy) });
            (double given, _) = Written(options, figures);
            (double ordered, ImmutableArray<LayerTravel> travels) = Written(options with { Order = new OrderOptions(WritingOrder.ShortTravel) }, figures);
            if (travels.IsEmpty)
            {
                return given == 0;
            }

            LayerTravel travel = Assert.Single(travels);
            return Math.Abs(travel.GivenNanometres - given) <= 1e-6 * given + 1e-3
                && Math.Abs(travel.OrderedNanometres - ordered) <= 1e-6 * given + 1e-3
                && ordered <= given * (1 + 1e-9)
                && travel.LeastNanometres <= ordered * (1 + 1e-9);
        },
        iter: Iterations.Usually(100));

    /// <summary>Figures are looked at in batches of 512: the travel told holds for the last one, too.</summary>
    [Theory]
    [InlineData(511)]
    [InlineData(512)]
    [InlineData(513)]
    [InlineData(1025)]
    public void Many_figures_are_ordered_to_the_last(int count)
    {
        Figure[] dots = [.. Enumerable.Range(0, count).Select(i => Figure.FromDot(0, DoseFactor.One, new GridPoint(i * 379 % count * 100, i % 7 * 10)))];
        (double given, _) = Written(FillCase.Options, dots);
        (double ordered, ImmutableArray<LayerTravel> travels) = Written(FillCase.Options with { Order = new OrderOptions(WritingOrder.ShortTravel) }, dots);
        LayerTravel travel = Assert.Single(travels);
        Assert.Equal(given, travel.GivenNanometres, 1e-6 * given);
        Assert.Equal(ordered, travel.OrderedNanometres, 1e-6 * given);
        Assert.InRange(ordered, (count - 1) * 10, given / 10);
    }

    [Fact]
    public void Order_changes_neither_figures_nor_charges() => SomeFigure.Array[1, 40].Sample(
        figures =>
        {
            foreach (WritingOrder order in Enum.GetValues<WritingOrder>())
            {
                List<Stroke> strokes = FillCase.Fill(FillCase.Options with { Order = new OrderOptions(order) }, figures);
                if (!Charges(strokes).SequenceEqual(Charges(FillCase.Fill(FillCase.Options, figures))))
                {
                    return false;
                }
            }

            return true;

            IEnumerable<(int, long)> Charges(List<Stroke> strokes) => strokes
                .GroupBy(s => s.Figure).Select(g => (g.Key, g.Sum(s => s.ChargeZeptocoulombs))).Order();
        },
        iter: Iterations.Usually(30));

    [Fact]
    public void Doses_and_directions_come_before_short_travel()
    {
        Figure[] figures =
        [
            FillCase.Rectangle(9_000, 1_000, 100, 100) with { DoseFactor = new DoseFactor(1_200_000) },
            FillCase.Rectangle(1_000, 3_000, 100, 100) with { DoseFactor = new DoseFactor(800_000) },
            FillCase.Rectangle(8_000, 4_000, 100, 100) with { DoseFactor = new DoseFactor(800_000) },
            FillCase.Rectangle(2_000, 2_000, 100, 100) with { DoseFactor = new DoseFactor(1_200_000) },
        ];
        Assert.Equal([1, 2, 0, 3], Order(new OrderOptions(WritingOrder.AsGiven, DoseOrder.LowestFirst)));
        Assert.Equal([0, 3, 1, 2], Order(new OrderOptions(WritingOrder.AsGiven, DoseOrder.HighestFirst)));
        Assert.Equal([1, 3, 2, 0], Order(new OrderOptions(WritingOrder.AlongX)));
        Assert.Equal([0, 3, 1, 2], Order(new OrderOptions(WritingOrder.AlongY)));
        Assert.Equal([1, 2, 3, 0], Order(new OrderOptions(WritingOrder.AlongX, DoseOrder.LowestFirst)));

        // By travel: the two of low dose, then from the last of them to the nearer of the others.
        Assert.Equal([1, 2, 0, 3], Order(new OrderOptions(WritingOrder.ShortTravel, DoseOrder.LowestFirst)));

        int[] Order(OrderOptions order) =>
            [.. FillCase.Fill(FillCase.Options with { Order = order }, figures).Select(s => s.Figure).Distinct()];
    }

    /// <summary>Length of the ways between figures, in nanometres, by the strokes themselves.</summary>
    private static (double Nanometres, ImmutableArray<LayerTravel> Travels) Written(FillOptions options, Figure[] figures)
    {
        var output = new CollectingSink<StrokesHeader, Stroke>();
        ImmutableArray<LayerTravel> travels = FillPass.Run(
            new FiguresDocument(new FiguresHeader(100, ["pattern"]), figures), options, output, new DiagnosticSink(), CancellationToken.None);
        double sum = 0;
        Stroke? last = null;
        foreach (Stroke stroke in output.Items.Where(s => s.Points > 0))
        {
            if (last is { } from && from.Figure != stroke.Figure)
            {
                double dx = stroke.XFemtometres - from.EndXFemtometres;
                double dy = stroke.YFemtometres - from.EndYFemtometres;
                sum += Math.Sqrt(dx * dx + dy * dy) * 1e-6;
            }

            last = stroke;
        }

        return (sum, travels);
    }
}
