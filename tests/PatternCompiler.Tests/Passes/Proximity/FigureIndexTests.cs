using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Proximity;

public class FigureIndexTests
{
    // Lines from tiny to across all the drawing, and places inside, beside and far from it: what a look at every box finds.
    [Fact]
    public void All_boxes_within_the_distance_are_found_once_each() =>
        Gen.Select(
            Gen.Select(Gen.Int[-1000, 1000], Gen.Int[-1000, 1000], Gen.OneOf(Gen.Int[-30, 30], Gen.Int[-2000, 2000]), Gen.Int[-30, 400]).Array[1, 40],
            Gen.Double[-1500, 1500],
            Gen.Double[-1500, 1500],
            Gen.OneOf(Gen.Const(0.0), Gen.Double[0, 50], Gen.Double[0, 5000])).Sample((ends, x, y, distance) =>
        {
            Figure[] figures =
            [
                .. ends.Select(e => Figure.FromLine(0, DoseFactor.One, new GridPoint(e.Item1, e.Item2), new GridPoint(e.Item1 + e.Item3, e.Item2 + e.Item4))),
            ];
            Assert.Equal(Expected(_ => true), Found(new FigureIndex(figures)));

            bool IsWide(FigureBox box) => box.Width > 100;
            int[] wide = Expected(IsWide);
            FigureIndex? some = FigureIndex.OfSome(figures, IsWide);
            Assert.Equal(figures.Any(figure => IsWide(FigureBox.Of(figure))), some is not null);
            Assert.Equal(wide, some is null ? [] : Found(some));

            int[] Expected(Func<FigureBox, bool> isAsked) =>
            [
                .. Enumerable.Range(0, figures.Length).Where(i => isAsked(FigureBox.Of(figures[i])) && DistanceTo(FigureBox.Of(figures[i])) <= distance),
            ];

            double DistanceTo(FigureBox box)
            {
                double across = x - Math.Clamp(x, box.XLow, box.XHigh);
                double upward = y - Math.Clamp(y, box.YLow, box.YHigh);
                return Math.Sqrt(across * across + upward * upward);
            }

            int[] Found(FigureIndex index)
            {
                var found = new List<int>();
                foreach (int figure in index.Within(x, y, distance))
                {
                    found.Add(figure);
                }

                return [.. found.Order()];
            }
        }, iter: Iterations.Usually(200));
}
