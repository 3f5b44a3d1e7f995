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

/// <summary>A fill rule for one winding number and for several at once; a type parameter, so that calls cost nothing.</summary>
internal interface IWindingRule
{
    static abstract bool Covers(int winding);

    /// <summary>All bits set where covered.</summary>
    static abstract Vector256<int> Covers(Vector256<int> winding);

    /// <summary>What all winding numbers between two bounds have in common.</summary>
    static abstract Cover CoverOf(int lowest, int highest);
}
