using System.Runtime.InteropServices;
using PatternCompiler.Geometry;
using PatternCompiler.Units;

namespace PatternCompiler.Model.Figures;

/// <summary>
/// One thing to be written: a trapezoid, a line or a dot. Build with the <c>From…</c> methods.
/// </summary>
/// <param name="Kind">Which of the three.</param>
/// <param name="Layer">Index into <see cref="FiguresHeader.Layers"/>.</param>
/// <param name="DoseFactor">Multiplies the layer's base dose.</param>
/// <param name="IsTransposed">
/// For a trapezoid: its parallel sides are vertical; <see cref="Shape"/> then has x and y exchanged.
/// </param>
/// <param name="Shape">
/// The trapezoid. For a line, <c>Shape.Left</c> holds start and end as drawn (in writing order, not sorted by height);
/// for a dot, <c>Shape.Left.Lower</c> is its position.
/// </param>
[StructLayout(LayoutKind.Auto)] // Of which there may be millions: the order of the fields above would leave gaps.
internal readonly record struct Figure(FigureKind Kind, int Layer, DoseFactor DoseFactor, bool IsTransposed, Trapezoid Shape)
{
    /// <summary>Start of a line, or the position of a dot.</summary>
    public GridPoint Start => Shape.Left.Lower;

    /// <summary>End of a line.</summary>
    public GridPoint End => Shape.Left.Upper;

    /// <summary>An area with horizontal parallel sides, or vertical ones if <paramref name="isTransposed"/>.</summary>
    public static Figure FromTrapezoid(int layer, DoseFactor doseFactor, Trapezoid shape, bool isTransposed = false) =>
        new(FigureKind.Trapezoid, layer, doseFactor, isTransposed, shape);

    /// <summary>A single line.</summary>
    public static Figure FromLine(int layer, DoseFactor doseFactor, GridPoint start, GridPoint end) =>
        new(FigureKind.Line, layer, doseFactor, false, new Trapezoid(0, 0, new GridEdge(start, end), default));

    /// <summary>A dot.</summary>
    public static Figure FromDot(int layer, DoseFactor doseFactor, GridPoint position) =>
        new(FigureKind.Dot, layer, doseFactor, false, new Trapezoid(0, 0, new GridEdge(position, position), default));
}

/// <summary>What a figure is.</summary>
internal enum FigureKind : byte
{
    /// <summary>An area, written at the area dose.</summary>
    Trapezoid,

    /// <summary>A line without width, written at the line dose.</summary>
    Line,

    /// <summary>A dot, written at the dot charge.</summary>
    Dot,
}
