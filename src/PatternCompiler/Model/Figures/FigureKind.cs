namespace PatternCompiler.Model.Figures;

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
