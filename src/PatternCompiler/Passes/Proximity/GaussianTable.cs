using System.Runtime.CompilerServices;
using MathNet.Numerics;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// exp(−t²) and the error function by cubics between exact values and slopes, 64 to a unit: both are right to 2·10⁻⁹
/// (h⁴/384 of the largest fourth derivative, 12 and 4.4), a twentieth of what a Gaussian holds beyond <see cref="GaussianEnergy.Reach"/>.
/// A correction asks for hundreds of them for each pair of figures that feel each other.
/// </summary>
internal static class GaussianTable
{
    private const int CellsPerUnit = 64;

    // exp(−t²) and 1 − erf(t) are below 2e-11 from here on.
    private const int End = 5;

    private static readonly Cubic[] Bells = Fit(t => Math.Exp(-t * t), t => -2 * t * Math.Exp(-t * t));
    private static readonly Cubic[] Errors = Fit(SpecialFunctions.Erf, t => 2 / Math.Sqrt(Math.PI) * Math.Exp(-t * t));

    /// <summary>exp(−t²).</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double Bell(double t)
    {
        double place = Math.Abs(t) * CellsPerUnit;
        Cubic[] cells = Bells;
        return place < End * CellsPerUnit ? cells[(int)place].At(place - (int)place) : 0;
    }

    /// <summary>The error function.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double Erf(double t)
    {
        double place = Math.Abs(t) * CellsPerUnit;
        Cubic[] cells = Errors;
        return Math.CopySign(place < End * CellsPerUnit ? cells[(int)place].At(place - (int)place) : 1, t);
    }

    private static Cubic[] Fit(Func<double, double> value, Func<double, double> slope)
    {
        const double Width = 1.0 / CellsPerUnit;
        var cells = new Cubic[End * CellsPerUnit];
        for (int i = 0; i < cells.Length; i++)
        {
            (double low, double high) = (i * Width, (i + 1) * Width);
            (double from, double to) = (value(low), value(high));
            (double rise, double last) = (slope(low) * Width, slope(high) * Width);
            cells[i] = new Cubic(from, rise, 3 * (to - from) - 2 * rise - last, 2 * (from - to) + rise + last);
        }

        return cells;
    }

    /// <summary>A cubic on [0, 1].</summary>
    private readonly record struct Cubic(double Constant, double Linear, double Square, double Cube)
    {
        public double At(double u) => Constant + u * (Linear + u * (Square + u * Cube));
    }
}
