namespace PatternCompiler.Calibration.Field;

/// <summary>One calibration mark: where it was asked to be and where it was found, in nanometres from the field's centre.</summary>
internal readonly record struct FieldMark(double CommandedX, double CommandedY, double MeasuredX, double MeasuredY);
