namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// A grid point as one integer that sorts by y, then x. The lowest bit is free to carry a mark: coordinates within
/// <see cref="GridPoint.Limit"/> need 31 bits each.
/// </summary>
internal static class PixelKey
{
    /// <summary>Marks a point to which a crossing was rounded that lies beside it.</summary>
    public const ulong RoundedMark = 1;

    private const int Bias = 1 << 30;

    public static ulong Pack(int x, int y) => ((ulong)(uint)(y + Bias) << 32) | ((uint)(x + Bias) << 1);

    /// <summary>Sorts before every point of a grid line and behind every point below it.</summary>
    public static ulong LineStart(int y) => (ulong)(uint)(y + Bias) << 32;

    public static int X(ulong key) => (int)((uint)key >> 1) - Bias;

    public static int Y(ulong key) => (int)(uint)(key >> 32) - Bias;
}
