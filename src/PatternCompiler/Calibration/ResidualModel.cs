namespace PatternCompiler.Calibration;

/// <summary>
/// Writes what a model misses of each measurement, measured minus modelled, and how that changes with each parameter, row by row.
/// </summary>
/// <param name="parameters">Parameters of the model.</param>
/// <param name="residuals">Takes one residual per measurement.</param>
/// <param name="slopes">Takes its derivatives, one per parameter.</param>
/// <returns>False where the model has no value.</returns>
internal delegate bool ResidualModel(ReadOnlySpan<double> parameters, Span<double> residuals, Span<double> slopes);
