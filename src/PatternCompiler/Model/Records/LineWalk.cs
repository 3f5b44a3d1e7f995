namespace PatternCompiler.Model.Records;

/// <summary>
/// A walk along the points of a line record. Quotient and remainder of position and dwell are carried from point to point, so
/// that there is no division between them. Loops that must be fast copy the fields into variables of their own.
/// </summary>
internal struct LineWalk
{
    /// <summary>Code of the current point.</summary>
    public int X;

    /// <summary>Code of the current point.</summary>
    public int Y;

    /// <summary>What <see cref="X"/> still lacks, in parts of <see cref="Divisor"/>.</summary>
    public long CarriedX;

    /// <summary>What <see cref="Y"/> still lacks.</summary>
    public long CarriedY;

    /// <summary>What the next dwell takes over, in parts of <see cref="Points"/>.</summary>
    public long CarriedTicks;

    /// <summary>Starts at a point.</summary>
    public LineWalk(in DeflectionRecord line, int index)
    {
        long steps = Math.Max(line.Points - 1, 1);
        Points = line.Points;
        Divisor = 2 * steps;
        WholeX = (int)FloorDivide(2L * (line.EndX - line.X), Divisor, out long spareX);
        WholeY = (int)FloorDivide(2L * (line.EndY - line.Y), Divisor, out long spareY);
        (SpareX, SpareY) = (spareX, spareY);
        X = line.X + (int)FloorDivide((2L * index * (line.EndX - line.X)) + steps, Divisor, out CarriedX);
        Y = line.Y + (int)FloorDivide((2L * index * (line.EndY - line.Y)) + steps, Divisor, out CarriedY);
        (WholeTicks, SpareTicks) = Math.DivRem(line.Ticks, Points);
        CarriedTicks = index * SpareTicks % Points;
    }

    /// <summary>Whole codes of every step.</summary>
    public int WholeX { get; }

    /// <summary>Whole codes of every step.</summary>
    public int WholeY { get; }

    /// <summary>The rest of every step, in parts of <see cref="Divisor"/>.</summary>
    public long SpareX { get; }

    /// <summary>The rest of every step.</summary>
    public long SpareY { get; }

    /// <summary>Parts of a code.</summary>
    public long Divisor { get; }

    /// <summary>Whole ticks of every dwell.</summary>
    public long WholeTicks { get; }

    /// <summary>The rest of every dwell, in parts of <see cref="Points"/>.</summary>
    public long SpareTicks { get; }

    /// <summary>Points of the line.</summary>
    public long Points { get; }

    /// <summary>Dwell of the current point; the walk goes on to the next one.</summary>
    public LinePoint Next()
    {
        long ticks = WholeTicks;
        CarriedTicks += SpareTicks;
        if (CarriedTicks >= Points)
        {
            CarriedTicks -= Points;
            ticks++;
        }

        var point = new LinePoint(X, Y, ticks);
        X += WholeX;
        CarriedX += SpareX;
        if (CarriedX >= Divisor)
        {
            CarriedX -= Divisor;
            X++;
        }

        Y += WholeY;
        CarriedY += SpareY;
        if (CarriedY >= Divisor)
        {
            CarriedY -= Divisor;
            Y++;
        }

        return point;
    }

    /// <summary>Quotient rounded down, and what is left.</summary>
    internal static long FloorDivide(long dividend, long divisor, out long remainder)
    {
        (long quotient, remainder) = Math.DivRem(dividend, divisor);
        if (remainder < 0)
        {
            remainder += divisor;
            quotient--;
        }

        return quotient;
    }
}
