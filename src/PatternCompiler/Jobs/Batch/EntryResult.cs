using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Reports;

namespace PatternCompiler.Jobs.Batch;

/// <summary>What became of one entry of a batch.</summary>
/// <param name="Entry">The entry.</param>
/// <param name="Outcome">Up to date, built or failed.</param>
/// <param name="Reasons">Why it was built; empty if it was up to date.</param>
/// <param name="Inputs">Files that it was made from, for dependency files; empty if it failed.</param>
/// <param name="Outputs">Files that were made; empty if it failed.</param>
/// <param name="Diagnostics">Notes and warnings of the build, and the error at the end if it failed.</param>
/// <param name="Summary">The build in figures; null if it was up to date or failed.</param>
internal sealed record EntryResult(
    BatchEntry Entry,
    EntryOutcome Outcome,
    ImmutableArray<string> Reasons,
    ImmutableArray<FileStamp> Inputs,
    ImmutableArray<FileStamp> Outputs,
    ImmutableArray<Diagnostic> Diagnostics,
    BuildSummary? Summary)
{
    /// <summary>Write time and messages of its last build; null if it failed, or an older version built it.</summary>
    public BuildFigures? Figures { get; init; }

    /// <summary>What its report predicts; null if it failed, has no report, or nothing can be predicted.</summary>
    public PredictedPrint? Print { get; init; }

    /// <summary>
    /// The outputs have other bytes than before, reports not counted; null if there is nothing to compare with, or it failed.
    /// </summary>
    public bool? HasNewBytes { get; init; }
}

/// <summary>What became of an entry.</summary>
internal enum EntryOutcome
{
    /// <summary>Nothing had changed since the last build.</summary>
    UpToDate,

    /// <summary>It was built.</summary>
    Built,

    /// <summary>It could not be built.</summary>
    Failed,
}
