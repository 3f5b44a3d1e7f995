using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>How one layer is written.</summary>
/// <param name="Layer">Layer name.</param>
/// <param name="DoseFactor">Multiplies the dose of everything on the layer.</param>
/// <param name="Fill">Fill where it differs from the job's.</param>
public sealed record LayerSettings(string Layer, DoseFactor DoseFactor, FillSettings Fill);
