namespace PatternCompiler.Model.Figures;

/// <summary>
/// The second document, held whole: flat areas, lines and dots in the order in which they are to be written.
/// Areas of one layer and dose factor do not overlap.
/// </summary>
/// <param name="Header">Grid and layers.</param>
/// <param name="Figures">The figures.</param>
public sealed record FiguresDocument(FiguresHeader Header, IReadOnlyList<Figure> Figures);
