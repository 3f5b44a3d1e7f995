using System.Collections.Immutable;

namespace PatternCompiler.Calibration.Field;

/// <summary>What views of one sample tell beside the distortion.</summary>
/// <param name="Views">How the sample lay in each: its name, how far the sample is turned counter-clockwise, and where its origin lies in the field, in nanometres.</param>
/// <param name="NoiseNanometres">Standard deviation of a place along one axis; NaN with nothing to spare.</param>
/// <param name="ErrorNanometres">Standard error of the distortion along one axis, root mean square over the field; NaN with nothing to spare.</param>
/// <param name="ScaleIsKnown">A length on the sample has told the scale; without one it is that of the machine file in the middle of the field.</param>
internal sealed record FieldPoses(ImmutableArray<(string Name, double TurnDegrees, double X, double Y)> Views, double NoiseNanometres, double ErrorNanometres, bool ScaleIsKnown);
