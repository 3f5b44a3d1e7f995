namespace PatternCompiler.Generate;

/// <summary>What a test pattern is for, in three steps.</summary>
/// <param name="Expose">How to write it.</param>
/// <param name="Measure">What to look at or measure afterwards.</param>
/// <param name="Use">What the numbers tell, and which fit takes them.</param>
internal sealed record PatternGuide(string Expose, string Measure, string Use);
