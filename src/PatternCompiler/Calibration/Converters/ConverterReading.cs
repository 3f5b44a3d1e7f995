namespace PatternCompiler.Calibration.Converters;

/// <summary>One reading of a voltmeter at an output.</summary>
/// <param name="Row">Its number in the table, from 0.</param>
/// <param name="Axis">'x' or 'y': the output.</param>
/// <param name="Code">Natural code of this output.</param>
/// <param name="Other">Natural code at which the other output stood.</param>
/// <param name="Steps">The output in steps above the lowest voltage that the machine file states.</param>
/// <param name="ErrorSteps">Standard error of the reading in steps; not a number where it is not stated.</param>
internal readonly record struct ConverterReading(int Row, char Axis, int Code, int Other, double Steps, double ErrorSteps);
