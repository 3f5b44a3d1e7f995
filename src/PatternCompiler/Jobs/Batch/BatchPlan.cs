using System.Collections.Immutable;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Jobs.Batch;

/// <summary>What a batch builds, in a fixed order.</summary>
/// <param name="Name">Name for messages.</param>
/// <param name="File">The batch file, or null.</param>
/// <param name="Entries">The builds.</param>
public sealed record BatchPlan(string Name, string? File, ImmutableArray<BatchEntry> Entries)
{
    /// <summary>Several job files as they stand.</summary>
    /// <param name="patterns">Job files; *, ? and ** stand for parts of names and folders.</param>
    /// <exception cref="CompileException">A pattern matches nothing.</exception>
    public static BatchPlan OfJobs(IEnumerable<string> patterns) => new(
        "jobs", null, [.. patterns.SelectMany(pattern => FilePattern.Expand(pattern, "")).Distinct(StringComparer.Ordinal).Select(BatchEntry.Of)]);

    /// <summary>Part k of n: every n-th entry, so that parts take about equally long.</summary>
    /// <param name="part">Number of the part, from 1.</param>
    /// <param name="parts">How many parts there are.</param>
    public BatchPlan Shard(int part, int parts)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(parts, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(part, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(part, parts);
        return this with { Entries = [.. Entries.Where((_, index) => index % parts == part - 1)] };
    }
}
