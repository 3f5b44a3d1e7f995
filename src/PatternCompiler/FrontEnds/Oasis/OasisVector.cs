namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>A displacement in units of the file.</summary>
internal readonly record struct OasisVector(long X, long Y)
{
    /// <summary>Sum.</summary>
    public static OasisVector operator +(OasisVector a, OasisVector b) => new(a.X + b.X, a.Y + b.Y);

    /// <summary>Multiple.</summary>
    public static OasisVector operator *(long factor, OasisVector a) => new(factor * a.X, factor * a.Y);
}
