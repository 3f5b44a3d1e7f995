namespace PatternCompiler.BackEnds.Picture;

/// <summary>Explains the tints: what the faintest and the strongest stand for.</summary>
/// <param name="Title">The quantity.</param>
/// <param name="Low">Value of the faintest tint, as text.</param>
/// <param name="High">Value of the strongest tint, as text.</param>
/// <param name="Hue">Colour of the sample.</param>
internal sealed record TintScale(string Title, string Low, string High, int Hue);
