namespace PatternCompiler.Jobs.Compilation;

/// <summary>Where a run of the pipeline starts: a document that is open, or the drawings of the job.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="Stream">Its bytes, not read yet; null for the drawings that the job names.</param>
/// <param name="Name">Name for messages; a manifest's files lie beside it.</param>
internal sealed record PipelineInput(DocumentKind Kind, Stream? Stream, string Name)
{
    /// <summary>The drawings of the job.</summary>
    public static PipelineInput Drawings { get; } = new(DocumentKind.Drawing, null, "");
}
