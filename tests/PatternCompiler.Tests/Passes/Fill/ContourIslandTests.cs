using PatternCompiler.Geometry;
using PatternCompiler.Limits;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fill;

namespace PatternCompiler.Tests.Passes.Fill;

/// <summary>Frames of four rectangles, inside each other and side by side: each is an island with one hole of its own.</summary>
public sealed class ContourIslandTests
{
    // Left, bottom, width, height of the outline; bars are 20 wide. The second is in the hole of the first, the third in that of the second.
    private static readonly (int X, int Y, int W, int H)[] Frames =
        [(-500, -300, 900, 700), (-400, -200, 500, 550), (-350, -100, 200, 300), (-800, -350, 200, 200), (200, -250, 100, 90), (-790, 100, 150, 400)];

    [Fact]
    public void A_hole_belongs_to_the_smallest_outline_around_it()
    {
        // The order of figures, and which way is up, change nothing.
        foreach ((int signX, int signY, bool isTransposed, bool isReversed) in new[] { (1, 1, false, false), (-1, 1, false, true), (1, -1, false, false), (-1, -1, true, true), (1, 1, true, false) })
        {
            (int X, int Y, int W, int H)[] frames = [.. Frames.Select(f => (signX > 0 ? f.X : -f.X - f.W, signY > 0 ? f.Y : -f.Y - f.H, f.W, f.H))];
            frames = isReversed ? [.. frames.Reverse()] : frames;
            Figure[] figures = [.. frames.SelectMany(Bars).Select(bar => isTransposed ? Figure.FromTrapezoid(0, bar.DoseFactor, Transposed(bar.Shape), isTransposed: true) : bar)];
            List<ContourIsland> islands = ContourIsland.Find(figures, [.. Enumerable.Range(0, figures.Length)], WorkLimits.Usual, default);
            Assert.Equal(frames.Length, islands.Count);
            for (int i = 0; i < frames.Length; i++)
            {
                (int x, int y, int w, int h) = frames[i];
                Assert.Equal(4 * i, islands[i].Figure);
                Assert.Equal(2, islands[i].Rings.Count);
                Assert.Equal((x, y, x + w, y + h), Box(islands[i].Rings[0]));
                Assert.Equal((x + 20, y + 20, x + w - 20, y + h - 20), Box(islands[i].Rings[1]));
            }
        }
    }

    private static IEnumerable<Figure> Bars((int X, int Y, int W, int H) f) =>
    [
        FillCase.Rectangle(f.X, f.Y, f.W, 20), FillCase.Rectangle(f.X, f.Y + f.H - 20, f.W, 20),
        FillCase.Rectangle(f.X, f.Y + 20, 20, f.H - 40), FillCase.Rectangle(f.X + f.W - 20, f.Y + 20, 20, f.H - 40),
    ];

    // The same rectangle with its parallel sides upright.
    private static Trapezoid Transposed(Trapezoid bar) =>
        Trapezoid.FromRectangle(bar.YBottom, bar.Left.Lower.X, bar.YTop, bar.Right.Lower.X);

    private static (int, int, int, int) Box(ReadOnlySpan<GridPoint> ring)
    {
        GridPoint[] points = ring.ToArray();
        return (points.Min(p => p.X), points.Min(p => p.Y), points.Max(p => p.X), points.Max(p => p.Y));
    }
}
