namespace PatternCompiler.BackEnds.Picture;

/// <summary>The part of the sample to show.</summary>
/// <param name="CentreXNanometres">Middle of the window.</param>
/// <param name="CentreYNanometres">Middle of the window.</param>
/// <param name="WidthNanometres">Width of the window, greater than zero; the height follows from the picture's shape.</param>
internal sealed record PictureWindow(double CentreXNanometres, double CentreYNanometres, double WidthNanometres);
