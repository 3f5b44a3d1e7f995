namespace PatternCompiler.BackEnds.Picture;

/// <summary>Pixels side by side in one row.</summary>
/// <param name="X">Column of the first.</param>
/// <param name="Y">Row.</param>
/// <param name="Length">Number of pixels.</param>
internal readonly record struct PixelRun(int X, int Y, int Length);
