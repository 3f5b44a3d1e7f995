namespace PatternCompiler.Prediction.Waveforms;

/// <summary>What the controller commands while nothing changes.</summary>
/// <param name="X">Code of the X output.</param>
/// <param name="Y">Code of the Y output.</param>
/// <param name="IsOn">The beam is commanded on.</param>
/// <param name="Ticks">For how many ticks.</param>
internal readonly record struct HeldState(int X, int Y, bool IsOn, long Ticks);
