namespace PatternCompiler.Jobs;

/// <summary>Where a build writes the documents between its stages; null for those that are not kept.</summary>
/// <param name="Layout">The layout as read and placed.</param>
/// <param name="Figures">The figures.</param>
/// <param name="Strokes">The strokes.</param>
/// <param name="Records">The records.</param>
/// <param name="Binary">Figures, strokes and records in their compact binary form instead of text.</param>
public sealed record KeptDocuments(string? Layout, string? Figures, string? Strokes, string? Records, bool Binary)
{
    /// <summary>Keep nothing.</summary>
    public static KeptDocuments None { get; } = new(null, null, null, null, false);
}
