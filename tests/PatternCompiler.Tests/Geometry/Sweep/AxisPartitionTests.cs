using CsCheck;
using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Tests.Geometry.Sweep;

public class AxisPartitionTests
{
    private static readonly Gen<(int Low, int High)> Ranges = Gen.OneOf(
        Gen.Select(Gen.Int[-3000, 3000], Gen.Int[0, 5000], (low, length) => (low, low + length)),
        Gen.Select(Gen.Int[int.MinValue, -1], Gen.Int[0, int.MaxValue - 1]),
        Gen.Const((int.MinValue + 1, int.MaxValue - 1)));

    /// <summary>Stretches follow each other without a gap from end to end, and every coordinate is found where it lies; one beyond an end, at that end.</summary>
    [Fact]
    public void Every_coordinate_is_found_in_its_stretch()
    {
        Gen.Select(Ranges, Gen.Int[1, 40], Gen.Int[0, 60], Gen.Int[0, 1 << 20]).Sample(
            (range, wanted, count, seed) =>
            {
                var random = new Random(seed);
                int[] samples = [.. Enumerable.Range(0, count).Select(_ => (int)random.NextInt64(range.Low - 3L, range.High + 4L))];
                var partition = new AxisPartition();
                partition.Cut(0, 7, [1, 2, 3], 3);
                partition.Cut(range.Low, range.High, samples, wanted);
                Assert.InRange(partition.Count, 1, wanted);
                Assert.Equal(range.Low, partition.First(0));
                Assert.Equal(range.High, partition.Last(partition.Count - 1));
                for (int i = 0; i < partition.Count; i++)
                {
                    Assert.True(partition.First(i) <= partition.Last(i));
                    Assert.True(i == 0 || partition.First(i) == partition.Last(i - 1) + 1);
                    Assert.Equal(i, partition.Find(partition.First(i)));
                    Assert.Equal(i, partition.Find((int)(((long)partition.First(i) + partition.Last(i)) / 2)));
                    Assert.Equal(i, partition.Find(partition.Last(i)));
                }

                Assert.Equal(0, partition.Find(int.MinValue));
                Assert.Equal(partition.Count - 1, partition.Find(int.MaxValue));
            },
            iter: Iterations.Usually(300));
    }

    /// <summary>Samples that all differ are shared out evenly; one stretch alone needs no order of them.</summary>
    [Fact]
    public void Stretches_hold_equally_many_samples()
    {
        int[] samples = [.. Enumerable.Range(0, 100).Select(i => (i * 37 % 100) + 5)];
        int[] given = [.. samples];
        var partition = new AxisPartition();
        partition.Cut(0, 200, samples, 1);
        Assert.Equal((1, 0, 200), (partition.Count, partition.First(0), partition.Last(0)));
        Assert.Equal(given, samples);
        partition.Cut(0, 200, samples, 4);
        Assert.Equal([0, 30, 55, 80], Enumerable.Range(0, partition.Count).Select(partition.First));
        partition.Cut(0, 200, samples, 20);
        Assert.All(Enumerable.Range(0, 20), i => Assert.Equal(5, given.Count(at => partition.Find(at) == i)));

        // A cut at the end itself is the last stretch; beyond it there is none.
        partition.Cut(0, 9, [9, 9, 10, 10], 4);
        Assert.Equal([0, 9], Enumerable.Range(0, partition.Count).Select(partition.First));
    }
}
