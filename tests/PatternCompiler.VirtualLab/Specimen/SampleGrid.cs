namespace PatternCompiler.VirtualLab.Specimen;

/// <summary>Numbers at the nodes of an even grid over a part of the sample; rows from the bottom up.</summary>
public sealed class SampleGrid
{
    public SampleGrid(SampleWindow window, double stepNanometres)
    {
        StepNanometres = stepNanometres;
        (Left, Bottom) = (window.Left, window.Bottom);
        Columns = (int)Math.Ceiling((window.Right - window.Left) / stepNanometres) + 1;
        Rows = (int)Math.Ceiling((window.Top - window.Bottom) / stepNanometres) + 1;
        Values = new double[(long)Columns * Rows];
    }

    public double StepNanometres { get; }

    public double Left { get; }

    public double Bottom { get; }

    public int Columns { get; }

    public int Rows { get; }

    public double[] Values { get; }

    /// <summary>
    /// Adds an amount to the nine nodes about a place by a quadratic spline: its mean place is kept, and its variance along each axis
    /// grows by a quarter of the step squared, wherever between the nodes it lies.
    /// </summary>
    public void Share(double x, double y, double amount)
    {
        double column = (x - Left) / StepNanometres, row = (y - Bottom) / StepNanometres;
        if (!(column >= 1 && row >= 1 && column < Columns - 2 && row < Rows - 2))
        {
            return;
        }

        int i = (int)(column + 0.5), j = (int)(row + 0.5);
        double right = column - i, up = row - j;
        double left = amount * (0.5 - right) * (0.5 - right) / 2, middle = amount * (0.75 - (right * right)), far = amount * (0.5 + right) * (0.5 + right) / 2;
        Span<double> along = [(0.5 - up) * (0.5 - up) / 2, 0.75 - (up * up), (0.5 + up) * (0.5 + up) / 2];
        for (int b = 0; b < 3; b++)
        {
            long at = ((long)(j + b - 1) * Columns) + i - 1;
            Values[at] += left * along[b];
            Values[at + 1] += middle * along[b];
            Values[at + 2] += far * along[b];
        }
    }

    /// <summary>Adds a grid over the same part with the same step, node by node.</summary>
    public void Add(SampleGrid other)
    {
        for (long i = 0; i < Values.LongLength; i++)
        {
            Values[i] += other.Values[i];
        }
    }

    /// <summary>Value at a place by cubic interpolation, with its slopes per nanometre.</summary>
    public double At(double x, double y, out double slopeX, out double slopeY)
    {
        double column = Math.Clamp((x - Left) / StepNanometres, 1, Columns - 2.000001);
        double row = Math.Clamp((y - Bottom) / StepNanometres, 1, Rows - 2.000001);
        int i = (int)column, j = (int)row;
        Span<double> across = stackalloc double[4], acrossSlope = stackalloc double[4], along = stackalloc double[4], alongSlope = stackalloc double[4];
        Weights(column - i, across, acrossSlope);
        Weights(row - j, along, alongSlope);
        double value = 0;
        (slopeX, slopeY) = (0, 0);
        for (int b = 0; b < 4; b++)
        {
            long start = ((long)(j + b - 1) * Columns) + i - 1;
            double sum = 0, slope = 0;
            for (int a = 0; a < 4; a++)
            {
                sum += across[a] * Values[start + a];
                slope += acrossSlope[a] * Values[start + a];
            }

            value += along[b] * sum;
            slopeX += along[b] * slope;
            slopeY += alongSlope[b] * sum;
        }

        slopeX /= StepNanometres;
        slopeY /= StepNanometres;
        return value;
    }

    /// <summary>Value at a place.</summary>
    public double At(double x, double y) => At(x, y, out _, out _);

    /// <summary>Smooths by a Gaussian whose variance along each axis is given, in square nanometres.</summary>
    public void Smooth(double variance)
    {
        double deviation = Math.Sqrt(variance) / StepNanometres;
        int reach = (int)Math.Ceiling(6.5 * deviation);
        var kernel = new double[(2 * reach) + 1];
        double sum = 0;
        for (int i = -reach; i <= reach; i++)
        {
            sum += kernel[i + reach] = Math.Exp(-i * i / (2 * deviation * deviation));
        }

        for (int i = 0; i < kernel.Length; i++)
        {
            kernel[i] /= sum;
        }

        var padded = new double[Math.Max(Columns, Rows) + (2 * reach)];
        for (int row = 0; row < Rows; row++)
        {
            Smooth(kernel, padded, reach, (long)row * Columns, 1, Columns);
        }

        for (int column = 0; column < Columns; column++)
        {
            Smooth(kernel, padded, reach, column, Columns, Rows);
        }
    }

    private void Smooth(double[] kernel, double[] padded, int reach, long start, int stride, int count)
    {
        Array.Clear(padded);
        bool isEmpty = true;
        for (int i = 0; i < count; i++)
        {
            double value = Values[start + ((long)i * stride)];
            padded[i + reach] = value;
            isEmpty &= value == 0;
        }

        if (isEmpty)
        {
            return;
        }

        for (int i = 0; i < count; i++)
        {
            double sum = 0;
            ReadOnlySpan<double> under = padded.AsSpan(i, kernel.Length);
            for (int k = 0; k < kernel.Length; k++)
            {
                sum += kernel[k] * under[k];
            }

            Values[start + ((long)i * stride)] = sum;
        }
    }

    // Lagrange's cubic through four nodes at -1, 0, 1 and 2, and its slope.
    private static void Weights(double t, Span<double> weight, Span<double> slope)
    {
        weight[0] = -t * (t - 1) * (t - 2) / 6;
        weight[1] = (t + 1) * (t - 1) * (t - 2) / 2;
        weight[2] = -(t + 1) * t * (t - 2) / 2;
        weight[3] = (t + 1) * t * (t - 1) / 6;
        slope[0] = -((3 * t * t) - (6 * t) + 2) / 6;
        slope[1] = ((3 * t * t) - (4 * t) - 1) / 2;
        slope[2] = -((3 * t * t) - (2 * t) - 2) / 2;
        slope[3] = ((3 * t * t) - 1) / 6;
    }
}
