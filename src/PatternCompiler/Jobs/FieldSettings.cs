using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Jobs;

/// <summary>How a job is divided into write fields.</summary>
/// <param name="Options">The division; the step of the stage comes from the machine.</param>
/// <param name="ManifestPath">Where the list of fields goes, or null to name it after the first output.</param>
public sealed record FieldSettings(FieldOptions Options, string? ManifestPath);
