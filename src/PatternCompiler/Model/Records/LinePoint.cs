namespace PatternCompiler.Model.Records;

/// <summary>One exposed point as the controller visits it.</summary>
/// <param name="X">Natural code of the X output.</param>
/// <param name="Y">Natural code of the Y output.</param>
/// <param name="Ticks">Dwell in clock ticks.</param>
internal readonly record struct LinePoint(int X, int Y, long Ticks);
