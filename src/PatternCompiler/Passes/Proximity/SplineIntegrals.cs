using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// The cubic B-splines of neighbouring nodes, integrated once or twice from far below up to a place: by straight lines between values at
/// 64 places in a cell, which is right to 2e-5 (h²/8 of the spline's largest slope and value, 2/3).
/// </summary>
internal static class SplineIntegrals
{
    private const int PlacesInCell = 64;
    private const int Middle = SplineStamp.Side;
    private const int Row = 2 * SplineStamp.Side;

    /// <summary>Integrals of the splines.</summary>
    public static float[] Once { get; } = Tabulate(IntegratedOnce);

    /// <summary>Integrals of these integrals.</summary>
    public static float[] Twice { get; } = Tabulate(IntegratedTwice);

    /// <summary>Where a table has the integrals up to a place, one node after the other from the node 0 on.</summary>
    /// <param name="table">One of the tables.</param>
    /// <param name="place">In nodes from the node 0, 0 to less than <see cref="SplineStamp.Side"/>.</param>
    /// <param name="rest">How far the place lies from there to the next in the table, 0 to 1.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ref float Find(float[] table, float place, out float rest)
    {
        float parts = place * PlacesInCell;
        int part = (int)parts;
        rest = parts - part;
        return ref table[part % PlacesInCell * 2 * Row + Middle - part / PlacesInCell];
    }

    /// <summary>Integrals of the splines of four nodes from one on, up to a place that was found.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<float> At(ref float found, float rest, int node) =>
        Vector128.LoadUnsafe(ref found, (nuint)node) + Vector128.LoadUnsafe(ref found, (nuint)(Row + node)) * rest;

    // For each place in a cell the values of nodes from far behind it to far before it, and what these rise up to the next place.
    private static float[] Tabulate(Func<double, double> integral)
    {
        var table = new float[2 * Row * PlacesInCell];
        for (int part = 0; part < PlacesInCell; part++)
        {
            for (int i = 0; i < Row; i++)
            {
                double value = integral((double)part / PlacesInCell + Middle - i);
                table[2 * Row * part + i] = (float)value;
                table[2 * Row * part + Row + i] = (float)(integral((part + 1.0) / PlacesInCell + Middle - i) - value);
            }
        }

        return table;
    }

    // ((2 − v)⁴ − 4 (1 − v)⁴)/24 is what a spline has beyond a distance v of its node, with negative powers taken as 0.
    private static double IntegratedOnce(double u)
    {
        double beyond = (Math.Pow(Math.Max(0, 2 - Math.Abs(u)), 4) - 4 * Math.Pow(Math.Max(0, 1 - Math.Abs(u)), 4)) / 24;
        return u > 0 ? 1 - beyond : beyond;
    }

    private static double IntegratedTwice(double u) =>
        Math.Max(0, u) + (Math.Pow(Math.Max(0, 2 - Math.Abs(u)), 5) - 4 * Math.Pow(Math.Max(0, 1 - Math.Abs(u)), 5)) / 120;
}
