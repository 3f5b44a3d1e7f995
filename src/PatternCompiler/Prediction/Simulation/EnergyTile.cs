namespace PatternCompiler.Prediction.Simulation;

/// <summary>Energy at the pixel centres of one tile and a margin around it, in coulombs per square metre of a uniform dose.</summary>
internal sealed class EnergyTile
{
    /// <summary>Pixels of margin on every side.</summary>
    public required int Margin { get; init; }

    /// <summary>Global column of the first value.</summary>
    public required int FirstColumn { get; init; }

    /// <summary>Global row of the first value.</summary>
    public required int FirstRow { get; init; }

    /// <summary>Values in a row.</summary>
    public required int Side { get; init; }

    /// <summary>Row by row from the bottom left.</summary>
    public required float[] Values { get; init; }

    /// <summary>
    /// Where, as a part of the way, the energy between two neighbouring pixel centres crosses a level: by the cubic through
    /// four centres in line, found by bisection and false position (Illinois rule). Index and stride are those of the values.
    /// </summary>
    public double CrossingAfter(int index, int stride, float level)
    {
        double before = Values[index - stride];
        double a = Values[index];
        double b = Values[index + stride];
        double after = Values[index + 2 * stride];
        double low = 0;
        double high = 1;
        double atLow = a - level;
        double atHigh = b - level;

        // Powers of the way, of the cubic less the level.
        double cube = (after - before) / 6 + (a - b) / 2;
        double square = (before + b) / 2 - a;
        double slope = b - before / 3 - a / 2 - after / 6;
        int side = 0;
        for (int i = 0; i < 12; i++)
        {
            double t = low + (high - low) * atLow / (atLow - atHigh);
            double value = ((cube * t + square) * t + slope) * t + (a - level);
            if (Math.Abs(value) <= 1e-7 * level)
            {
                return t;
            }

            if (value > 0 == atLow > 0)
            {
                (low, atLow) = (t, value);
                atHigh /= side == -1 ? 2 : 1;
                side = -1;
            }
            else
            {
                (high, atHigh) = (t, value);
                atLow /= side == 1 ? 2 : 1;
                side = 1;
            }
        }

        return (low + high) / 2;
    }

    /// <summary>Energy by cubic interpolation in both directions; the place must lie inside the margin.</summary>
    public double At(double x, double y, double pixel)
    {
        double u = x / pixel - 0.5 - FirstColumn;
        double v = y / pixel - 0.5 - FirstRow;
        int column = Math.Clamp((int)u, 1, Side - 3);
        int row = Math.Clamp((int)v, 1, Side - 3);
        int i = (row - 1) * Side + column;
        return Cubic(Along(i, u - column), Along(i + Side, u - column), Along(i + 2 * Side, u - column), Along(i + 3 * Side, u - column), v - row);
    }

    private double Along(int i, double t) => Cubic(Values[i - 1], Values[i], Values[i + 1], Values[i + 2], t);

    // Lagrange's cubic through four neighbours, the place at t between the middle two.
    private static double Cubic(double before, double a, double b, double after, double t) =>
        before * (-t * (t - 1) * (t - 2) / 6) + a * ((t + 1) * (t - 1) * (t - 2) / 2)
        + b * (-(t + 1) * t * (t - 2) / 2) + after * ((t + 1) * t * (t - 1) / 6);
}
