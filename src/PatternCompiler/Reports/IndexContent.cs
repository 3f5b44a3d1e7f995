using System.Collections.Immutable;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Reports;

/// <summary>Everything that the index of a batch shows.</summary>
/// <param name="Name">Name of the batch.</param>
/// <param name="ToolVersion">Version of the program.</param>
/// <param name="Rows">Its jobs, in order.</param>
internal sealed record IndexContent(string Name, string ToolVersion, ImmutableArray<IndexRow> Rows);

/// <summary>One job of a batch in its index.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Link">Its report, relative to the index; null if it has none.</param>
/// <param name="Status">Built, up to date or failed.</param>
/// <param name="Failure">The error of a job that failed, or null.</param>
internal sealed record IndexRow(string Name, string? Link, string Status, Diagnostic? Failure)
{
    /// <summary>Write time of the exposure; null where it is not known.</summary>
    public double? WriteSeconds { get; init; }

    /// <summary>Number of warnings; null where it is not known.</summary>
    public int? Warnings { get; init; }

    /// <summary>The outputs have other bytes than before; null where there is nothing to compare with.</summary>
    public bool? HasNewBytes { get; init; }

    /// <summary>Why it was built.</summary>
    public ImmutableArray<string> Reasons { get; init; } = [];
}
