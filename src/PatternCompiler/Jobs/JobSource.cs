using System.Collections.Immutable;

namespace PatternCompiler.Jobs;

/// <summary>One drawing of a job.</summary>
/// <param name="Path">Drawing file.</param>
/// <param name="UnitPicometres">Length of one drawing unit, or null to take the file's own.</param>
/// <param name="Layers">Layers to take; empty for all.</param>
/// <param name="OffsetXNanometres">Moved right by this after turning.</param>
/// <param name="OffsetYNanometres">Moved up by this after turning.</param>
/// <param name="RotationDegrees">Turned counter-clockwise about the drawing's origin.</param>
public sealed record JobSource(
    string Path,
    double? UnitPicometres,
    ImmutableArray<string> Layers,
    double OffsetXNanometres,
    double OffsetYNanometres,
    double RotationDegrees)
{
    /// <summary>A whole drawing as it stands.</summary>
    public static JobSource Whole(string path) => new(path, null, [], 0, 0, 0);

    /// <summary>True if the drawing is neither moved nor turned.</summary>
    public bool StandsAsDrawn => OffsetXNanometres == 0 && OffsetYNanometres == 0 && RotationDegrees == 0;
}
