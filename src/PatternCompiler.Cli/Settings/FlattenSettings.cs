using System.Collections.Immutable;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Cli.Settings;

/// <summary>Options of flattening.</summary>
internal static class FlattenSettings
{
    /// <summary>By the job, but only some layers; none named means all.</summary>
    public static FlattenOptions Of(StageSettings settings, ImmutableArray<string> layers) => new()
    {
        ChordErrorNanometres = settings.Job.ChordErrorNanometres,
        Layers = layers.IsEmpty ? null : layers,
    };
}
