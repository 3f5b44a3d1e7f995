namespace PatternCompiler.Measure.Registration;

/// <summary>A map that may be the right one.</summary>
/// <param name="Map">The map.</param>
/// <param name="Explained">Part of the picture's variance that the drawing explains under it.</param>
internal readonly record struct MapCandidate(PictureMap Map, double Explained);
