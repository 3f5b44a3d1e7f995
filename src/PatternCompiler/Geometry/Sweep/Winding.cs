namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// The winding numbers of both operands around a point, packed into one integer (first · 2^32 + second) so that they add
/// in one instruction.
/// </summary>
internal readonly record struct Winding(long Packed)
{
    public Winding(int first, int second)
        : this(((long)first << 32) + second)
    {
    }

    public int Second => (int)Packed;

    public int First => (int)((Packed - (int)Packed) >> 32);

    public static Winding operator +(Winding a, Winding b) => new(a.Packed + b.Packed);
}
