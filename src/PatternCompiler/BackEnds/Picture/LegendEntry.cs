namespace PatternCompiler.BackEnds.Picture;

/// <summary>One line of the legend.</summary>
/// <param name="Role">Decides the sample drawn beside the text.</param>
/// <param name="Hue">Colour of the sample.</param>
/// <param name="Text">The text.</param>
internal sealed record LegendEntry(SceneRole Role, int Hue, string Text);
