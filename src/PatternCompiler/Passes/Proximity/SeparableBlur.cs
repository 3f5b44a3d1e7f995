using System.Numerics;
using System.Runtime.InteropServices;
using PatternCompiler.Instrument;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Spreads a map by one term of the spread function: by each Gaussian of its mixture, along the rows and then down the
/// columns. The result does not depend on the number of threads.
/// </summary>
internal sealed class SeparableBlur
{
    private const double ReachInRadii = 3.9;

    // A Gaussian sampled at less than this variance, in squared cells, has another variance than meant.
    private const double SmallestSampledVariance = 0.5;

    private readonly int columns;
    private readonly int rows;
    private readonly (double[] Kernel, double Part)[] kernels;

    /// <param name="shape">Form of the term.</param>
    /// <param name="rangeInCells">Its range over the side of a cell.</param>
    /// <param name="varianceInCells">
    /// Variance along each axis, in squared cells, that a cell's charge has already: each Gaussian is narrowed by it, so that
    /// the second moment stays exact.
    /// </param>
    /// <param name="columns">Cells across.</param>
    /// <param name="rows">Cells upward.</param>
    public SeparableBlur(SpreadShape shape, double rangeInCells, double varianceInCells, int columns, int rows)
    {
        this.columns = columns;
        this.rows = rows;
        kernels =
        [
            .. GaussianMixture.Of(shape).Select(gaussian => (
                Kernel(gaussian.Radius * gaussian.Radius * rangeInCells * rangeInCells / 2 - varianceInCells), gaussian.Part)),
        ];
    }

    /// <summary>Cells beyond which a term spreads nothing.</summary>
    public static int ReachInCells(SpreadShape shape, double rangeInCells) =>
        (int)Math.Ceiling(ReachInRadii * rangeInCells * GaussianMixture.Of(shape).Max(gaussian => gaussian.Radius)) + 1;

    /// <summary>Writes the spread of a map, row by row, into another; the third array is overwritten.</summary>
    public void Run(double[] source, double[] target, double[] scratch)
    {
        Array.Clear(target);
        foreach ((double[] kernel, double part) in kernels)
        {
            Parallel.For(0, rows, row => AlongRow(source, scratch, row, kernel, part));
            Parallel.For(0, rows, row => DownColumns(scratch, target, row, kernel));
        }
    }

    /// <summary>Weights from the middle outward; the two halves and the middle sum to 1.</summary>
    private static double[] Kernel(double variance)
    {
        if (variance < SmallestSampledVariance)
        {
            double aside = Math.Max(0, variance) / 2;
            return [1 - 2 * aside, aside];
        }

        var weights = new double[(int)Math.Ceiling(ReachInRadii * Math.Sqrt(2 * variance)) + 1];
        double sum = 0;
        for (int i = 0; i < weights.Length; i++)
        {
            weights[i] = Math.Exp(-(double)i * i / (2 * variance));
            sum += i == 0 ? weights[i] : 2 * weights[i];
        }

        return [.. weights.Select(weight => weight / sum)];
    }

    private void AlongRow(double[] source, double[] scratch, int row, double[] kernel, double part)
    {
        ReadOnlySpan<double> from = source.AsSpan(row * columns, columns);
        Span<double> to = scratch.AsSpan(row * columns, columns);
        to.Clear();
        AddScaled(to, from, kernel[0] * part);
        for (int i = 1; i < Math.Min(kernel.Length, columns); i++)
        {
            AddScaled(to[i..], from[..^i], kernel[i] * part);
            AddScaled(to[..^i], from[i..], kernel[i] * part);
        }
    }

    private void DownColumns(double[] scratch, double[] target, int row, double[] kernel)
    {
        Span<double> to = target.AsSpan(row * columns, columns);
        int first = Math.Max(0, row - kernel.Length + 1);
        int last = Math.Min(rows - 1, row + kernel.Length - 1);
        for (int from = first; from <= last; from++)
        {
            AddScaled(to, scratch.AsSpan(from * columns, columns), kernel[Math.Abs(from - row)]);
        }
    }

    private static void AddScaled(Span<double> target, ReadOnlySpan<double> source, double factor)
    {
        Span<Vector<double>> wideTarget = MemoryMarshal.Cast<double, Vector<double>>(target);
        ReadOnlySpan<Vector<double>> wideSource = MemoryMarshal.Cast<double, Vector<double>>(source);
        var wideFactor = new Vector<double>(factor);
        for (int i = 0; i < wideTarget.Length; i++)
        {
            wideTarget[i] += wideSource[i] * wideFactor;
        }

        for (int i = wideTarget.Length * Vector<double>.Count; i < target.Length; i++)
        {
            target[i] += source[i] * factor;
        }
    }
}
