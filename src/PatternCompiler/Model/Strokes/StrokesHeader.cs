using System.Collections.Immutable;

namespace PatternCompiler.Model.Strokes;

/// <summary>What precedes the strokes of a strokes document.</summary>
/// <param name="Layers">Layer names of the figures document the strokes were made from.</param>
internal sealed record StrokesHeader(ImmutableArray<string> Layers)
{
    /// <summary>Digest of the process and dose settings that gave the strokes their charge; not stated in documents of older versions.</summary>
    public SettingsDigest Exposure { get; init; }

    /// <summary>Strokes may wait for the trigger input; only a machine that has one can write them.</summary>
    public bool WaitsForTrigger { get; init; }
}
