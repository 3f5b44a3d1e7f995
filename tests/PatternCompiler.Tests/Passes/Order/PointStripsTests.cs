using CsCheck;
using PatternCompiler.Passes.Order;

namespace PatternCompiler.Tests.Passes.Order;

public sealed class PointStripsTests
{
    // Whole numbers from few have many equal distances and many equal places; the wide ones cluster.
    private static readonly Gen<double> Place = Gen.OneOf(
        Gen.Int[0, 12].Select(i => (double)i), Gen.Const(5.0), Gen.Double[-1, 1], Gen.Double[-1e6, 1e6]);

    [Fact]
    public void The_nearest_of_other_groups_are_those_that_a_look_at_all_finds() =>
        Gen.Select(Gen.Select(Place, Place, Gen.Int[0, 20]).Array[1, 120], Gen.Int[1, 12]).Sample((drawn, width) =>
        {
            TravelItem[] items = [.. drawn.Select(d => new TravelItem(d.Item1, d.Item2, d.Item2, d.Item1))];
            var endpoints = new Endpoints(items, new TravelOptions(true));
            int[] group = [.. drawn.SelectMany(d => new[] { d.Item3, d.Item3 }), 99, 99];
            int[] members = [.. Enumerable.Range(0, 2 * items.Length).Where(e => e % 3 != 0), 0];
            using var strips = new PointStrips(endpoints, members, group);
            Assert.Equal(members.Order(), Enumerable.Range(0, strips.Count).Select(strips.EndpointAt).Order());
            Span<int> found = new int[width];
            var finder = new PointStrips.Finder(strips);
            for (int place = 0; place < strips.Count; place++)
            {
                int from = strips.EndpointAt(place);
                int[] expected =
                [
                    .. members.Where(e => group[e] != group[from]).OrderBy(e => SquareTo(from, e)).ThenBy(e => e).Take(width),
                ];
                int[] nearest = found[..finder.Nearest(place, found)].ToArray();
                if (expected.Length == width && SquareTo(from, expected[^1]) == 0)
                {
                    // In the very same place any will do, each once.
                    Assert.Equal(width, nearest.Distinct().Count(e => group[e] != group[from] && SquareTo(from, e) == 0));
                }
                else
                {
                    Assert.Equal(expected, nearest);
                }
            }

            double SquareTo(int a, int b) =>
                (endpoints.X(a) - endpoints.X(b)) * (endpoints.X(a) - endpoints.X(b)) + (endpoints.Y(a) - endpoints.Y(b)) * (endpoints.Y(a) - endpoints.Y(b));
        }, iter: Iterations.Usually(100));
}
