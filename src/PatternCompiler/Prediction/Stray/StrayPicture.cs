using System.Collections.Immutable;
using PatternCompiler.Pictures;

namespace PatternCompiler.Prediction.Stray;

/// <summary>Marks predicted stray lines in a picture of strokes or records.</summary>
internal static class StrayPicture
{
    private const int MostPaths = 1200;

    /// <summary>
    /// The picture with the stretches that would print drawn strongly and all other jumps faintly, along the way that the
    /// beam really takes where that is known.
    /// </summary>
    /// <param name="scene">The picture.</param>
    /// <param name="scan">A scan of the same exposure.</param>
    public static Scene Mark(Scene scene, StrayScan scan)
    {
        StrayReport report = scan.ToReport();
        IReadOnlyList<ImmutableArray<(double X, double Y)>> paths = scan.Paths(MostPaths);
        ImmutableArray<SceneBatch>.Builder batches = ImmutableArray.CreateBuilder<SceneBatch>();
        foreach (SceneBatch batch in scene.Batches)
        {
            batches.Add(batch.Role != SceneRole.Jump ? batch : batch with { Tint = 1, Path = paths.Count > 0 ? ScenePath.Of(paths) : batch.Path });
        }

        ImmutableArray<LegendEntry> legend =
            [.. scene.Legend.Select(entry => entry.Role == SceneRole.Jump ? entry with { Text = "jump, prints nothing" } : entry)];
        if (report.Printing > 0)
        {
            batches.Add(new SceneBatch(SceneRole.Alarm, 0, 1, ScenePath.Of(report.Worst.SelectMany(jump => jump.Stretches))));
            legend = legend.Add(new LegendEntry(SceneRole.Alarm, 0, "stray line"));
        }

        ImmutableArray<string> notes = scene.Notes.Add($"Stray lines: {StrayText.CountOf(report)}{(report.IsAlone ? ", each jump judged alone" : "")}.");
        return scene with { Batches = batches.DrainToImmutable(), Legend = legend, Notes = notes };
    }
}
