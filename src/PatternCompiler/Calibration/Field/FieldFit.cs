using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.Field;

/// <summary>A field polynomial of one order fitted to calibration marks.</summary>
/// <param name="Polynomial">Commanded → landing position.</param>
/// <param name="Parameters">Every coefficient with its error, in nanometres: x terms first, then y terms.</param>
/// <param name="Residuals">Measured minus fitted landing position of every mark, in nanometres.</param>
/// <param name="DegreesOfFreedom">Spare marks per axis.</param>
/// <param name="RootMeanSquare">Of the residual distances, in nanometres; zero by construction with no degree of freedom.</param>
/// <param name="LargestResidual">Largest residual distance, in nanometres.</param>
/// <param name="LeaveOneOutRootMeanSquare">
/// Of the distances by which a fit to all other marks misses each mark, in nanometres; NaN if some mark cannot be left out.
/// </param>
internal sealed record FieldFit(
    FieldPolynomial Polynomial,
    IReadOnlyList<FitParameter> Parameters,
    IReadOnlyList<(double X, double Y)> Residuals,
    int DegreesOfFreedom,
    double RootMeanSquare,
    double LargestResidual,
    double LeaveOneOutRootMeanSquare);
