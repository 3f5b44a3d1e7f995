using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Energy of one long-range term: the figures' dose on a map of cells an eighth of the range wide, convolved with the
/// term's form. A cell's charge is taken as spread evenly over the cell; the Gaussian is narrowed by that much, so that
/// the second moment stays exact.
/// </summary>
internal sealed class DensityMap
{
    private const double CellsPerRange = 8;
    private const int LargestSide = 8192;
    private const double ExponentialReach = 12;

    private readonly double cell;
    private readonly double xLow;
    private readonly double yLow;
    private readonly int columns;
    private readonly int rows;
    private readonly double[] kernel;
    private readonly int kernelRadius;
    private readonly bool isSeparable;
    private readonly double[] deposited;
    private readonly double[] scratch;
    private readonly double[] energy;
    private readonly int[] starts;
    private readonly int[] cells;
    private readonly float[] shares;

    /// <summary>Prepares a map for some figures.</summary>
    /// <param name="range">Range of the term, in grid steps.</param>
    /// <param name="chargeOf">Charge of a line per grid step and of a dot, as area of dose 1 in square grid steps.</param>
    public DensityMap(
        IReadOnlyList<Figure> figures, FigureBox[] boxes, SpreadShape shape, double range, (double Line, double Dot) chargeOf)
    {
        double reach = shape == SpreadShape.Gaussian ? GaussianEnergy.Reach * range : ExponentialReach * range;
        double width = boxes.Max(b => b.XHigh) - boxes.Min(b => b.XLow);
        double height = boxes.Max(b => b.YHigh) - boxes.Min(b => b.YLow);
        cell = Math.Max(range / CellsPerRange, Math.Max(width, height) / LargestSide);
        kernelRadius = (int)Math.Ceiling(reach / cell);
        // Two cells of margin keep interpolation at the outermost control points inside the map.
        xLow = boxes.Min(b => b.XLow) - 2 * cell;
        yLow = boxes.Min(b => b.YLow) - 2 * cell;
        columns = (int)(width / cell) + 5;
        rows = (int)(height / cell) + 5;
        isSeparable = shape == SpreadShape.Gaussian;
        kernel = isSeparable ? GaussianKernel(range) : ExponentialKernel(range);
        deposited = new double[columns * rows];
        scratch = new double[columns * rows];
        energy = new double[columns * rows];
        (starts, cells, shares) = Shares(figures, chargeOf);
    }

    /// <summary>Convolves the figures' dose, one factor per figure.</summary>
    public void Update(double[] doses)
    {
        Array.Clear(deposited);
        double perArea = 1 / (cell * cell);
        for (int figure = 0; figure < doses.Length; figure++)
        {
            for (int k = starts[figure]; k < starts[figure + 1]; k++)
            {
                deposited[cells[k]] += doses[figure] * shares[k] * perArea;
            }
        }

        if (isSeparable)
        {
            Parallel.For(0, rows, ConvolveRow);
            Parallel.For(0, rows, ConvolveColumns);
        }
        else
        {
            Parallel.For(0, rows, ConvolvePlane);
        }
    }

    /// <summary>Energy at a point, by cubic interpolation between cell centres.</summary>
    public double At(double x, double y)
    {
        double u = (x - xLow) / cell - 0.5;
        double v = (y - yLow) / cell - 0.5;
        int column = Math.Clamp((int)Math.Floor(u), 1, columns - 3);
        int row = Math.Clamp((int)Math.Floor(v), 1, rows - 3);
        Span<double> wx = stackalloc double[4];
        Span<double> wy = stackalloc double[4];
        CubicWeights(u - column, wx);
        CubicWeights(v - row, wy);
        double sum = 0;
        for (int j = 0; j < 4; j++)
        {
            int start = (row - 1 + j) * columns + column - 1;
            sum += wy[j] * (wx[0] * energy[start] + wx[1] * energy[start + 1] + wx[2] * energy[start + 2] + wx[3] * energy[start + 3]);
        }

        return sum;
    }

    // Lagrange's cubic through four neighbours, the point at t between the middle two.
    private static void CubicWeights(double t, Span<double> weights)
    {
        weights[0] = -t * (t - 1) * (t - 2) / 6;
        weights[1] = (t + 1) * (t - 1) * (t - 2) / 2;
        weights[2] = -(t + 1) * t * (t - 2) / 2;
        weights[3] = (t + 1) * t * (t - 1) / 6;
    }

    private double[] GaussianKernel(double range)
    {
        // A box of one cell adds cell²/12 to the variance range²/2 of each axis.
        double narrowed = Math.Sqrt(range * range - cell * cell / 6);
        var weights = new double[kernelRadius + 1];
        double sum = 0;
        for (int i = 0; i <= kernelRadius; i++)
        {
            double t = i * cell / narrowed;
            weights[i] = Math.Exp(-t * t);
            sum += i == 0 ? weights[i] : 2 * weights[i];
        }

        return [.. weights.Select(w => w / sum)];
    }

    private double[] ExponentialKernel(double range)
    {
        int side = kernelRadius + 1;
        var weights = new double[side * side];
        double sum = 0;
        for (int j = 0; j < side; j++)
        {
            for (int i = 0; i < side; i++)
            {
                weights[j * side + i] = Math.Exp(-Math.Sqrt((double)i * i + (double)j * j) * cell / range);
                sum += weights[j * side + i] * (i == 0 ? 1 : 2) * (j == 0 ? 1 : 2);
            }
        }

        return [.. weights.Select(w => w / sum)];
    }

    private void ConvolveRow(int row)
    {
        int start = row * columns;
        for (int column = 0; column < columns; column++)
        {
            double sum = 0;
            int first = Math.Max(0, column - kernelRadius);
            int last = Math.Min(columns - 1, column + kernelRadius);
            for (int i = first; i <= last; i++)
            {
                sum += kernel[Math.Abs(i - column)] * deposited[start + i];
            }

            scratch[start + column] = sum;
        }
    }

    private void ConvolveColumns(int row)
    {
        Span<double> target = energy.AsSpan(row * columns, columns);
        target.Clear();
        int first = Math.Max(0, row - kernelRadius);
        int last = Math.Min(rows - 1, row + kernelRadius);
        for (int j = first; j <= last; j++)
        {
            double weight = kernel[Math.Abs(j - row)];
            ReadOnlySpan<double> source = scratch.AsSpan(j * columns, columns);
            for (int i = 0; i < target.Length; i++)
            {
                target[i] += weight * source[i];
            }
        }
    }

    private void ConvolvePlane(int row)
    {
        int side = kernelRadius + 1;
        for (int column = 0; column < columns; column++)
        {
            double sum = 0;
            for (int j = Math.Max(0, row - kernelRadius); j <= Math.Min(rows - 1, row + kernelRadius); j++)
            {
                int weights = Math.Abs(j - row) * side;
                for (int i = Math.Max(0, column - kernelRadius); i <= Math.Min(columns - 1, column + kernelRadius); i++)
                {
                    sum += kernel[weights + Math.Abs(i - column)] * deposited[j * columns + i];
                }
            }

            energy[row * columns + column] = sum;
        }
    }

    private (int[] Starts, int[] Cells, float[] Shares) Shares(IReadOnlyList<Figure> figures, (double Line, double Dot) chargeOf)
    {
        var figureStarts = new int[figures.Count + 1];
        var touched = new List<int>();
        var areas = new List<float>();
        void Add(int row, int column, double area)
        {
            if (area > 0)
            {
                touched.Add(row * columns + column);
                areas.Add((float)area);
            }
        }

        for (int i = 0; i < figures.Count; i++)
        {
            CellShares.Of(figures[i], xLow, yLow, cell, chargeOf, Add);
            figureStarts[i + 1] = touched.Count;
        }

        return (figureStarts, [.. touched], [.. areas]);
    }
}
