namespace PatternCompiler.BackEnds.Picture;

/// <summary>A quantity that tints stand for.</summary>
/// <param name="Name">What it is called in the legend.</param>
/// <param name="Print">Prints a value.</param>
internal sealed record ExposureMeasure(string Name, Func<double, string> Print);
