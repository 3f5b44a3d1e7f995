using System.Collections.Immutable;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Places;

namespace PatternCompiler.Jobs.Traces;

/// <summary>Notes from which position of the stage each output of a build is written.</summary>
/// <param name="outputs">The outputs.</param>
internal sealed class TraceWatcher(BuildOutputs outputs) : ExposureWatcher
{
    // Position of the outputs from an index on.
    private readonly List<(int First, StagePosition? Position)> positions = [(0, null)];
    private StagePosition? position;
    private int next;

    /// <inheritdoc/>
    public override void See(FieldPlan plan) => next = outputs.Count;

    /// <inheritdoc/>
    public override void Begin(StagePosition position) => this.position = position;

    /// <inheritdoc/>
    public override void End(ExposedPart part)
    {
        // What was made since the position before, of which documents of the whole pattern were made first.
        if (position is { Field: not null })
        {
            positions.Add((next, position));
        }

        next = outputs.Count;
        positions.Add((next, null));
    }

    /// <summary>The trace, when all outputs are complete.</summary>
    public Trace ToTrace(DrawnPattern drawing)
    {
        var traced = ImmutableArray.CreateBuilder<TracedOutput>();
        ImmutableArray<BuiltFile> files = outputs.Files;
        int at = 0;
        for (int i = 0; i < files.Length; i++)
        {
            while (at + 1 < positions.Count && positions[at + 1].First <= i)
            {
                at++;
            }

            if (files[i].Hash is string hash)
            {
                StagePosition? from = positions[at].Position;
                traced.Add(new(hash, Path.GetFileName(files[i].Path), from?.Field?.Name, from?.XFemtometres ?? 0, from?.YFemtometres ?? 0));
            }
        }

        return new Trace(traced.ToImmutable(), drawing);
    }
}
