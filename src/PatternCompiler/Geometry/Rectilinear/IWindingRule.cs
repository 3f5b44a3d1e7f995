using System.Runtime.Intrinsics;

namespace PatternCompiler.Geometry.Rectilinear;

/// <summary>A fill rule for one winding number and for several at once; a type parameter, so that calls cost nothing.</summary>
internal interface IWindingRule
{
    static abstract bool Covers(int winding);

    /// <summary>All bits set where covered.</summary>
    static abstract Vector256<int> Covers(Vector256<int> winding);

    /// <summary>What all winding numbers between two bounds have in common.</summary>
    static abstract Cover CoverOf(int lowest, int highest);
}
