using CsCheck;
using PatternCompiler.Pictures;

namespace PatternCompiler.Tests.Pictures;

public class ViewClipTests
{
    private static readonly SceneExtent Bounds = new(-10, -5, 30, 15);
    private static readonly Gen<ScenePoint> GenPoint = Gen.Select(Gen.Int[-60, 60], Gen.Int[-60, 60], (x, y) => new ScenePoint(x, y));

    [Fact]
    public void A_ring_keeps_its_winding_inside_the_bounds() =>
        Gen.Select(GenPoint.Array[3, 12], Gen.Int[-10, 29], Gen.Int[-5, 14]).Sample((ring, column, row) =>
        {
            // Irrational places lie on no edge between whole-number points.
            double x = column + (Math.Sqrt(2) - 1);
            double y = row + (Math.Sqrt(3) - 1);
            IReadOnlyList<ScenePoint> cut = new ViewClip(Bounds).ClipRing(ring);
            Assert.All(cut, p => Assert.True(p.X >= -10.001 && p.X <= 30.001 && p.Y >= -5.001 && p.Y <= 15.001));
            Assert.Equal(Winding(ring, x, y), Winding([.. cut], x, y));
        }, iter: Iterations.Usually(3000));

    [Fact]
    public void A_segment_keeps_exactly_its_inner_part()
    {
        var clip = new ViewClip(Bounds);
        var a = new ScenePoint(-30, 5);
        var b = new ScenePoint(50, 5);
        Assert.True(clip.ClipSegment(ref a, ref b));
        Assert.Equal((new ScenePoint(-10, 5), new ScenePoint(30, 5)), (a, b));

        a = new ScenePoint(-30, 20);
        b = new ScenePoint(0, -60);
        Assert.False(clip.ClipSegment(ref a, ref b));
    }

    private static int Winding(ScenePoint[] ring, double x, double y)
    {
        int winding = 0;
        for (int i = 0; i < ring.Length; i++)
        {
            ScenePoint a = ring[i];
            ScenePoint b = ring[(i + 1) % ring.Length];
            if (a.Y <= y != b.Y <= y && a.X + (y - a.Y) / (b.Y - a.Y) * (b.X - a.X) > x)
            {
                winding += b.Y > a.Y ? 1 : -1;
            }
        }

        return winding;
    }
}
