namespace PatternCompiler.FrontEnds.Layout;

/// <summary>A line kept for later.</summary>
/// <param name="Text">Its bytes.</param>
/// <param name="Number">Its number in its file.</param>
internal readonly record struct KeptLine(byte[] Text, int Number);
