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

    // Trapezoids with corners between grid points, around a box: all that lie within the distance, and none that lie a step beyond it.
    [Fact]
    public void Boxes_around_another_are_found() =>
        Gen.Select(Gen.Int[-500, 500].Array[5].Array[1, 40], Gen.Int[-600, 600], Gen.Int[-600, 600], Gen.Int[0, 300], Gen.Double[0, 400]).Sample((drawn, x, y, size, distance) =>
        {
            Figure[] figures = [.. drawn.Select(Slanted)];
            var around = new FigureBox(x, y, x + size, y + size / 2.0);
            var found = new List<int>();
            FigureIndex.Found near = new FigureIndex(figures).Within(around, distance);
            while (near.MoveNext())
            {
                found.Add(near.Current);
                Assert.True(near.Box.IsWithin(FigureBox.Of(figures[near.Current]), 0));
            }

            Assert.Equal(found.Distinct().Count(), found.Count);
            for (int i = 0; i < figures.Length; i++)
            {
                FigureBox box = FigureBox.Of(figures[i]);
                Assert.True(found.Contains(i) || !box.IsWithin(around, distance));
                Assert.True(!found.Contains(i) || box.IsWithin(around, distance + 1.5));
            }
        }, iter: Iterations.Usually(200));

    // Cut from a higher one: its sides end elsewhere.
    private static Figure Slanted(int[] at) => Figure.FromTrapezoid(
        0,
        DoseFactor.One,
        new Trapezoid(
            at[0] + 10,
            at[0] + 11 + Math.Abs(at[4] % 50),
            new GridEdge(new GridPoint(at[1], at[0]), new GridPoint(at[1] + at[2] % 90, at[0] + 97)),
            new GridEdge(new GridPoint(at[1] + 200, at[0]), new GridPoint(at[1] + 200 + at[3] % 90, at[0] + 97))));
}
