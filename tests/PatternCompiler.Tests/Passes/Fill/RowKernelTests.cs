using PatternCompiler.Passes.Fill;

namespace PatternCompiler.Tests.Passes.Fill;

/// <summary>
/// What the rows of an area get together is its height, whatever rows are left out; and, where rows enough are left, its
/// centroid is that of the area.
/// </summary>
public sealed class RowKernelTests
{
    [Theory]
    [InlineData(0)]
    [InlineData(0.1)]
    [InlineData(0.5)]
    [InlineData(0.95)]
    public void Rows_share_all_of_an_area(double smallest)
    {
        var kernels = new List<RowKernel>();
        for (int step = 0; step < 20; step++)
        {
            foreach (double height in (double[])[0.02, 0.3, 0.5, 0.97, 1, 1.4, 2, 2.6, 3.3, 4, 4.9, 5.5, 8.2])
            {
                (double low, double high) = (-2 + (0.05 * step), -2 + (0.05 * step) + height);
                RowKernel.Collect(low, high, smallest, kernels);
                double[] charges = [.. kernels.Select(kernel => Enumerable.Range(-8, 24).Sum(k => kernel.At(k) * Share(k, low, high)))];
                Assert.Equal(height, charges.Sum(), 1e-9);
                Assert.Equal(kernels.Select(kernel => kernel.Row).Order().Distinct(), kernels.Select(kernel => kernel.Row));
                Assert.All(kernels, kernel => Assert.InRange(kernel.Row, Math.Floor(low), Math.Ceiling(high)));
                Assert.All(kernels, kernel => Assert.All(Enumerable.Range(-12, 30), k => Assert.True(kernel.At(k) == 0 || (k > kernel.FirstCell && k <= kernel.LastCell))));
                if (Math.Ceiling(high) - Math.Floor(low) >= 5 || smallest == 0)
                {
                    Assert.Equal(height * (low + high) / 2, kernels.Zip(charges, (kernel, charge) => kernel.Row * charge).Sum(), 1e-9);
                }

                // Of the outer rows, only those with less than asked are left out, and never all.
                bool hasFirst = kernels[0].Row == Math.Floor(low);
                Assert.Equal(Share(Math.Floor(low), low, high) >= smallest, hasFirst);
            }
        }
    }

    /// <summary>Part of a row, by adding up the tent about it in small steps.</summary>
    private static double Share(double row, double low, double high)
    {
        // The tent is linear between its corners: the middle of each piece times its length is exact.
        double[] corners = [.. new[] { low, row - 1, row, row + 1, high }.Select(corner => Math.Clamp(corner, low, high)).Order()];
        return Enumerable.Range(0, 4).Sum(i => (corners[i + 1] - corners[i]) * Math.Max(0, 1 - Math.Abs(((corners[i] + corners[i + 1]) / 2) - row)));
    }
}
