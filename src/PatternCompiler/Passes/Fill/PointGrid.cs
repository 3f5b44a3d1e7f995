namespace PatternCompiler.Passes.Fill;

/// <summary>Evenly spaced positions, each rounded to the nearest femtometre.</summary>
/// <param name="Origin">Position of number 0, in femtometres.</param>
/// <param name="Step">Distance in femtometres, above 0.</param>
internal readonly record struct PointGrid(double Origin, double Step)
{
    /// <summary>Position of a number.</summary>
    public long PositionOf(long number) => (long)Math.Floor(Origin + number * Step + 0.5);

    /// <summary>Number of the first position that is not below <paramref name="place"/>.</summary>
    public long FirstFrom(long place)
    {
        long number = (long)Math.Ceiling((place - Origin) / Step);

        // The quotient may be off by its rounding: the positions themselves decide.
        while (PositionOf(number - 1) >= place)
        {
            number--;
        }

        while (PositionOf(number) < place)
        {
            number++;
        }

        return number;
    }
}
