namespace PatternCompiler.Model.Figures;

/// <summary>First byte of a figure in the binary form; specified in Model/Carriers/README.md.</summary>
internal static class FiguresBinary
{
    /// <summary>The lowest two bits hold the <see cref="FigureKind"/>.</summary>
    public const byte KindMask = 0x03;

    /// <summary>The parallel sides are vertical.</summary>
    public const byte Transposed = 0x04;

    /// <summary>Two corners follow instead of two heights and two edges.</summary>
    public const byte Rectangle = 0x08;

    /// <summary>Layer and dose factor are those of the figure before; otherwise they follow.</summary>
    public const byte SameGroup = 0x10;
}
