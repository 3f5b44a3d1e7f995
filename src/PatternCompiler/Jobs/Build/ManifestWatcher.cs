using System.Collections.Immutable;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Jobs.Build;

/// <summary>Writes the manifest of a divided pattern: the fields as they are visited, each with the files that were made for it.</summary>
/// <param name="settings">Job and machine.</param>
/// <param name="outputs">Where the files of the fields go, and the manifest.</param>
internal sealed class ManifestWatcher(BuildSettings settings, BuildOutputs outputs) : ExposureWatcher
{
    private readonly ImmutableArray<FieldVisit>.Builder visits = ImmutableArray.CreateBuilder<FieldVisit>();
    private readonly string path = PathOf(settings.Job);
    private FieldPlan? plan;
    private StagePosition? position;

    /// <inheritdoc/>
    public override void See(FieldPlan plan)
    {
        this.plan = plan;

        // What was made before belongs to no field.
        outputs.Close();
    }

    /// <inheritdoc/>
    public override void Begin(StagePosition position) => this.position = position;

    /// <inheritdoc/>
    public override void End(ExposedPart part)
    {
        if (position is { Field: WriteField field })
        {
            visits.Add(new FieldVisit(
                field,
                position.StageXNanometres,
                position.StageYNanometres,
                part.Figures,
                position.MoveSeconds,
                part.Records.Ticks / settings.Machine.Clock.Hertz,
                [.. outputs.Close().Select(file => FieldFile.Of(file, path))]) { Details = position.Details });
        }
    }

    /// <inheritdoc/>
    public override void Complete()
    {
        if (plan is not null)
        {
            FieldManifestText.Write(
                new FieldManifest(settings.Job.Name, settings.Machine.Name, plan, visits.DrainToImmutable()), outputs.Create(path, "manifest", isBinary: false));
        }
    }

    private static string PathOf(Job job) =>
        job.Fields?.ManifestPath ?? FieldNames.ManifestBeside(job.Outputs is [{ } first, ..] ? first.Path : job.Keep.Records ?? job.Keep.Strokes ?? job.Name);
}
