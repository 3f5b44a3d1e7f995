using System.Collections.Immutable;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Limits;

/// <summary>
/// How much work a drawing may ask for, stage by stage. Where nothing is said the usual limits hold, which honest drawings
/// of ten million figures keep.
/// </summary>
public sealed record WorkLimits
{
    private ImmutableSortedDictionary<string, long> starts = ImmutableSortedDictionary.Create<string, long>(StringComparer.Ordinal);

    /// <summary>The usual limits.</summary>
    public static WorkLimits Usual { get; } = new();

    /// <summary>Where the work lies that is about to be counted, for the error.</summary>
    public SourcePlace Place { get; private init; }

    /// <summary>The amount of a kind that any drawing may ask for, however small.</summary>
    public long this[WorkKind kind] => starts.GetValueOrDefault(kind.Key, kind.Start);

    /// <summary>The same limits but for one.</summary>
    public WorkLimits With(WorkKind kind, long start) => this with { starts = starts.SetItem(kind.Key, start) };

    /// <summary>The same limits, for work at a place in the input's own terms.</summary>
    public WorkLimits At(string entity) => this with { Place = new SourcePlace(null, Entity: entity) };

    /// <summary>Counts the work of one kind in one run of a stage.</summary>
    /// <param name="kind">What is counted.</param>
    /// <param name="items">Items of the input, for limits that grow with it.</param>
    public WorkMeter Meter(WorkKind kind, long items = 0) => new(kind, this[kind], items, Place);
}
