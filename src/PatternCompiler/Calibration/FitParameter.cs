namespace PatternCompiler.Calibration;

/// <summary>One fitted number with what is known of its error.</summary>
/// <param name="Name">Name as used in the machine or process file.</param>
/// <param name="Unit">Unit of all the numbers, "" for a plain number.</param>
/// <param name="Value">Best estimate.</param>
/// <param name="StandardError">Standard error; NaN where no spare measurement allows one.</param>
/// <param name="Low">Lower end of the 95% confidence interval; NaN if unknown.</param>
/// <param name="High">Upper end of the 95% confidence interval; NaN if unknown.</param>
internal sealed record FitParameter(string Name, string Unit, double Value, double StandardError, double Low, double High);
