namespace PatternCompiler.BackEnds.Picture;

/// <summary>A few words at a place of the sample.</summary>
/// <param name="X">Middle of the words, nanometres to the right of the origin.</param>
/// <param name="Y">Middle of the words, nanometres above the origin.</param>
/// <param name="Text">The words.</param>
/// <param name="RoomNanometres">Words wider than this on the sample are left out.</param>
internal sealed record SceneLabel(double X, double Y, string Text, double RoomNanometres);
