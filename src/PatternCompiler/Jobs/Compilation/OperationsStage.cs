using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry;
using PatternCompiler.Jobs.Operations;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Boolean;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Offset;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>Makes the layers that a job's operations describe, and keeps those that the job writes.</summary>
internal sealed class OperationsStage
{
    private readonly Job job;
    private readonly DiagnosticSink sink;
    private readonly CancellationToken cancellation;
    private readonly List<LayerOperation> pending = [];
    private readonly HashSet<string> changed = new(StringComparer.Ordinal);
    private readonly HashSet<string> steps = new(StringComparer.Ordinal);
    private FlatLayout flat;
    private int temporary;

    private OperationsStage(Job job, LayoutDocument layout, DiagnosticSink sink, CancellationToken cancellation)
    {
        this.job = job;
        this.sink = sink;
        this.cancellation = cancellation;
        flat = Flatten(layout);
    }

    /// <summary>Runs the operations of a job; a job without any gets its layout back.</summary>
    /// <exception cref="CompileException">An operation names a layer that does not exist.</exception>
    public static LayoutDocument Run(Job job, LayoutDocument layout, DiagnosticSink sink, CancellationToken cancellation)
    {
        if (job.Operations.IsEmpty && job.Write.IsEmpty)
        {
            return layout;
        }

        if (job.Operations.IsEmpty)
        {
            return Keep(layout, job.Write);
        }

        var stage = new OperationsStage(job, layout, sink, cancellation);
        foreach (AreaOperation operation in job.Operations)
        {
            stage.steps.Clear();
            string result = stage.Evaluate(operation.Area);

            // A union of a layer with itself is the layer, and names the result without touching the dose factors.
            stage.Add(operation.Layer, BooleanOperation.Union, result, result);
        }

        return Keep(stage.RunPending(), job.Write);
    }

    private string Evaluate(LayerExpression expression)
    {
        switch (expression)
        {
            case LayerArea layer:
                RequireLayer(layer.Name);
                return layer.Name;
            case RectangleArea r:
                return AddBox(new GridBox(
                    ToGrid(r.XLeftNanometres), ToGrid(r.YBottomNanometres), ToGrid(r.XRightNanometres), ToGrid(r.YTopNanometres)));
            case FrameArea frame:
                return AddBox(Around(frame));
            case MovedArea moved:
                return Move(Evaluate(moved.Area), moved.DistanceNanometres);
            case CombinedArea combined:
                string first = Evaluate(combined.First);
                string second = Evaluate(combined.Second);
                string result = NewName();
                Add(result, combined.Operation, first, second);
                return result;
            default:
                throw new InvalidOperationException($"A {expression.GetType().Name} cannot be evaluated.");
        }
    }

    private string Move(string area, double distance)
    {
        // A copy is moved, so that the layer itself stays for later operations.
        string result = NewName();
        Add(result, BooleanOperation.Union, area, area);
        flat = Flatten(RunPending());
        var options = new OffsetOptions
        {
            Offsets = [new LayerOffset(result, distance)],
            ChordErrorNanometres = job.ChordErrorNanometres,
            Limits = job.Limits,
        };
        flat = OffsetPass.Run(flat, options, sink, cancellation);
        return result;
    }

    private void Add(string result, BooleanOperation operation, string first, string second)
    {
        pending.Add(new LayerOperation(result, operation, first, second));
        changed.Add(result);
    }

    private GridBox Around(FrameArea frame)
    {
        RequireLayer(frame.Name);
        if (changed.Contains(frame.Name))
        {
            flat = Flatten(RunPending());
        }

        int layer = flat.LayerNames.IndexOf(frame.Name);
        GridBox box = GridBox.Empty;
        foreach (FlatLayer group in flat.Groups.Where(group => group.Layer == layer && group.Area.Count > 0))
        {
            GridBox other = GridBox.Around(group.Area);
            box = new GridBox(
                Math.Min(box.XLeft, other.XLeft), Math.Min(box.YBottom, other.YBottom), Math.Max(box.XRight, other.XRight), Math.Max(box.YTop, other.YTop));
        }

        if (box.IsEmpty)
        {
            throw new CompileException(JobCodes.BadExpression, $"there is no area on layer '{frame.Name}' to put a frame around");
        }

        int margin = ToGrid(frame.MarginNanometres);
        return new GridBox(
            InRange((long)box.XLeft - margin), InRange((long)box.YBottom - margin), InRange((long)box.XRight + margin), InRange((long)box.YTop + margin));
    }

    private string AddBox(GridBox box)
    {
        string name = NewName();
        var group = new FlatLayer(flat.LayerNames.Length, DoseFactor.One, box.ToContourSet(), [], []);
        flat = flat with { LayerNames = flat.LayerNames.Add(name), Groups = flat.Groups.Add(group) };
        return name;
    }

    private LayoutDocument RunPending()
    {
        var options = new BooleanOptions { Operations = [.. pending], KeepOtherLayers = true, Written = job.Write, Limits = job.Limits };
        LayoutDocument layout = BooleanPass.Run(flat, options, sink, cancellation);
        pending.Clear();
        changed.Clear();

        // Steps of operations that are done are needed no more: merged again each time, they would make many operations take long.
        return Keep(layout, [.. layout.Layers.Where(layer => IsForUsers(layer) || steps.Contains(layer))]);
    }

    private FlatLayout Flatten(LayoutDocument layout) => FlattenPass.Run(layout, StageOptions.Flatten(job), sink, cancellation);

    private void RequireLayer(string name)
    {
        if (!flat.LayerNames.Contains(name) && !changed.Contains(name))
        {
            IEnumerable<string> known = flat.LayerNames.Concat(job.Operations.Select(operation => operation.Layer)).Where(IsForUsers).Distinct();
            throw SourceAssembly.UnknownLayer(name, [.. known], null);
        }
    }

    private int ToGrid(double nanometres) =>
        InRange((long)Math.Round(Math.Clamp(nanometres * 1000 / flat.GridPicometres, -1e15, 1e15), MidpointRounding.AwayFromZero));

    private static int InRange(long coordinate) => coordinate is >= -GridPoint.Limit and <= GridPoint.Limit
        ? (int)coordinate
        : throw new CompileException(JobCodes.ValueOutOfRange, "a rectangle or frame of the operations reaches beyond the largest coordinate", default, "make it smaller");

    /// <summary>A name that no drawing can have, because it holds a line end.</summary>
    private string NewName()
    {
        string name = $"step\n{++temporary}";
        steps.Add(name);
        return name;
    }

    private static bool IsForUsers(string layer) => !layer.Contains('\n', StringComparison.Ordinal);

    private static LayoutDocument Keep(LayoutDocument layout, ImmutableArray<string> write)
    {
        foreach (string layer in write)
        {
            if (!layout.Layers.Contains(layer))
            {
                throw SourceAssembly.UnknownLayer(layer, [.. layout.Layers.Where(IsForUsers)], null);
            }
        }

        return SourceAssembly.Run([(layout, new JobSource("") { Reading = DrawingOptions.Default with { Layers = write } })]);
    }
}
