namespace PatternCompiler.Pictures;

/// <summary>The places on the sample that the DAC can reach, drawn once a step is wide enough to be seen.</summary>
/// <param name="StepXNanometres">From one code to the next along x, greater than zero.</param>
/// <param name="StepYNanometres">From one code to the next along y, greater than zero.</param>
/// <param name="OffsetXNanometres">Any place along x that a code reaches.</param>
/// <param name="OffsetYNanometres">Any place along y that a code reaches.</param>
internal sealed record CodeRaster(double StepXNanometres, double StepYNanometres, double OffsetXNanometres = 0, double OffsetYNanometres = 0);
