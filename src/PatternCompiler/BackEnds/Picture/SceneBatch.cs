namespace PatternCompiler.BackEnds.Picture;

/// <summary>Shapes of one look.</summary>
/// <param name="Role">What they stand for.</param>
/// <param name="Hue">Index of the colour; see <see cref="Palette"/>.</param>
/// <param name="Tint">Strength of the colour, 1 (faint) to <see cref="Palette.TintCount"/> (full).</param>
/// <param name="Path">The shapes.</param>
internal sealed record SceneBatch(SceneRole Role, int Hue, int Tint, ScenePath Path);
