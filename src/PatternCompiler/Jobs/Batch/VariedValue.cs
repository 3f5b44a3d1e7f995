namespace PatternCompiler.Jobs.Batch;

/// <summary>One value that a batch gives to a job in place of the job's own.</summary>
/// <param name="Key">What is varied, e.g. "dose" or "parameters.pitch".</param>
/// <param name="Text">The value as the batch file writes it; a path is resolved.</param>
/// <param name="Label">A short form for file names.</param>
/// <param name="Change">The settings with the value.</param>
internal sealed record VariedValue(string Key, string Text, string Label, Func<BuildSettings, BuildSettings> Change);
