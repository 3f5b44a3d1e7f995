namespace PatternCompiler.BackEnds.Points;

/// <summary>
/// Between codes and a decimal quantity that grows evenly with them (volts, millimetres). The quantity gets enough
/// decimals for a thousandth of a code, so reading back gives the same code.
/// </summary>
internal sealed class CodeScale
{
    private const int DecimalsBelowCode = 3;
    private const int MostDecimals = 14;
    private const double LargestDeviation = 0.1;

    private readonly double first;
    private readonly double step;
    private readonly int codeCount;
    private readonly double unitsPerOne = 1;

    /// <summary>A scale on which code 0 stands at <paramref name="first"/>.</summary>
    public CodeScale(double first, double step, int codeCount)
    {
        this.first = first;
        this.step = step;
        this.codeCount = codeCount;
        double rest = Math.Abs(step);
        while (Decimals < MostDecimals - DecimalsBelowCode && (rest < 1 || Decimals < DecimalsBelowCode))
        {
            Decimals++;
            rest *= 10;
        }

        Decimals += DecimalsBelowCode;
        for (int i = 0; i < Decimals; i++)
        {
            unitsPerOne *= 10;
        }
    }

    /// <summary>Decimals of the quantity.</summary>
    public int Decimals { get; }

    /// <summary>The quantity for a code, scaled by the decimals.</summary>
    public long ScaledOf(int code) => (long)Math.Round((first + code * step) * unitsPerOne);

    /// <summary>The code of a scaled quantity; false if it is none.</summary>
    public bool TryCode(long scaled, out int code)
    {
        double exact = (scaled / unitsPerOne - first) / step;
        double nearest = Math.Round(exact);
        code = (int)nearest;
        return Math.Abs(exact - nearest) < LargestDeviation && nearest >= 0 && nearest < codeCount;
    }
}
