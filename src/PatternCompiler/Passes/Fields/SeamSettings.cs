namespace PatternCompiler.Passes.Fields;

/// <summary>How seams are made, in grid steps.</summary>
/// <param name="Kind">What happens at a seam.</param>
/// <param name="Width">Width of the strip that both fields write; 0 for none.</param>
/// <param name="Steps">Dose steps of a taper.</param>
/// <param name="Stray">Largest distance by which a cut leaves the seam to save a sliver.</param>
/// <param name="Micrometre">Grid steps of a micrometre.</param>
internal sealed record SeamSettings(SeamKind Kind, int Width, int Steps, int Stray, long Micrometre);
