namespace PatternCompiler.Passes.Fill;

/// <summary>
/// How much of the dose at each height goes to one row: a function that is linear between whole numbers and zero outside
/// four neighbouring ones. Heights are counted in rows. The plain kernel of row k is the tent over k − 1, k, k + 1: then
/// a point between two rows is shared linearly between them, and the charge and the centroid of everything are kept.
/// </summary>
/// <param name="First">Whole number at which <paramref name="Value0"/> stands.</param>
/// <param name="Row">The row that gets the dose.</param>
/// <param name="Value0">Value at First.</param>
/// <param name="Value1">Value at First + 1.</param>
/// <param name="Value2">Value at First + 2.</param>
/// <param name="Value3">Value at First + 3.</param>
/// <param name="Value4">Value at First + 4.</param>
internal readonly record struct RowKernel(
    long Row, long First, double Value0, double Value1, double Value2, double Value3, double Value4)
{
    /// <summary>Lower end of the first stretch with a dose.</summary>
    public long FirstCell => Value0 != 0 ? First - 1 : Value1 != 0 ? First : First + 1;

    /// <summary>Lower end of the last stretch with a dose.</summary>
    public long LastCell => Value4 != 0 ? First + 4 : Value3 != 0 ? First + 3 : First + 2;

    /// <summary>Value at a whole number.</summary>
    public double At(long number) => (number - First) switch
    {
        0 => Value0,
        1 => Value1,
        2 => Value2,
        3 => Value3,
        4 => Value4,
        _ => 0,
    };

    /// <summary>
    /// The kernels of all rows that an area between two heights touches. A first or last row that would get less than
    /// <paramref name="smallest"/> of a full row is given to its neighbours: twice its dose to the next row, and as much
    /// taken from the one after, which keeps charge and centroid; where there are too few rows, all of it to the next.
    /// </summary>
    public static void Collect(double low, double high, double smallest, List<RowKernel> kernels)
    {
        kernels.Clear();
        long first = (long)Math.Floor(low);
        long last = Math.Max(first + 1, (long)Math.Ceiling(high));
        bool dropsFirst = Share(first) < smallest;
        bool dropsLast = Share(last) < smallest && last - first >= (dropsFirst ? 2 : 1);
        bool keepsCentroid = last - first >= 5;
        for (long row = first; row <= last; row++)
        {
            if ((row == first && dropsFirst) || (row == last && dropsLast))
            {
                continue;
            }

            // Values at row − 2 … row + 2.
            double below = 0, above = 0;
            if (dropsFirst)
            {
                below = row == first + 1 ? (keepsCentroid ? 2 : 1) : 0;
            }

            if (dropsLast)
            {
                above = row == last - 1 ? (keepsCentroid ? 2 : 1) : 0;
            }

            double wayBelow = dropsFirst && keepsCentroid && row == first + 2 ? -1 : 0;
            double wayAbove = dropsLast && keepsCentroid && row == last - 2 ? -1 : 0;
            kernels.Add(new(row, row - 2, wayBelow, below, 1, above, wayAbove));
        }

        double Share(long row) => Ramp(high - row) - Ramp(low - row);
    }

    /// <summary>Integral of the tent over −1, 0, 1 up to a place.</summary>
    public static double Ramp(double place) =>
        place <= -1 ? 0 : place >= 1 ? 1 : place < 0 ? (1 + place) * (1 + place) / 2 : 1 - (1 - place) * (1 - place) / 2;
}
