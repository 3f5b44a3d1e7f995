using System.Runtime.Intrinsics;

namespace PatternCompiler.Geometry.Rectilinear;

/// <summary>See <see cref="FillRule.NonZero"/>.</summary>
internal readonly struct NonZeroRule : IWindingRule
{
    public static bool Covers(int winding) => winding != 0;

    public static Vector256<int> Covers(Vector256<int> winding) => ~Vector256.Equals(winding, Vector256<int>.Zero);

    public static Cover CoverOf(int lowest, int highest) =>
        lowest > 0 || highest < 0 ? Cover.All : (lowest | highest) == 0 ? Cover.None : Cover.Mixed;
}

/// <summary>See <see cref="FillRule.Positive"/>.</summary>
internal readonly struct PositiveRule : IWindingRule
{
    public static bool Covers(int winding) => winding > 0;

    public static Vector256<int> Covers(Vector256<int> winding) => Vector256.GreaterThan(winding, Vector256<int>.Zero);

    public static Cover CoverOf(int lowest, int highest) =>
        lowest > 0 ? Cover.All : highest <= 0 ? Cover.None : Cover.Mixed;
}

/// <summary>See <see cref="FillRule.EvenOdd"/>.</summary>
internal readonly struct EvenOddRule : IWindingRule
{
    public static bool Covers(int winding) => (winding & 1) != 0;

    public static Vector256<int> Covers(Vector256<int> winding) =>
        Vector256.Equals(winding & Vector256<int>.One, Vector256<int>.One);

    public static Cover CoverOf(int lowest, int highest) =>
        lowest != highest ? Cover.Mixed : (lowest & 1) != 0 ? Cover.All : Cover.None;
}
