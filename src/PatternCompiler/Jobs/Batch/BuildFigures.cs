namespace PatternCompiler.Jobs.Batch;

/// <summary>What is told of a build in lists of many, kept with its record.</summary>
/// <param name="WriteSeconds">Write time of the exposure.</param>
/// <param name="Warnings">Number of warnings.</param>
/// <param name="Notes">Number of notes.</param>
internal sealed record BuildFigures(double WriteSeconds, int Warnings, int Notes);
