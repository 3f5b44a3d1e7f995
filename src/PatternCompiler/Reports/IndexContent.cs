using System.Collections.Immutable;

namespace PatternCompiler.Reports;

/// <summary>Everything that the index of a batch shows.</summary>
/// <param name="Name">Name of the batch.</param>
/// <param name="ToolVersion">Version of the program.</param>
/// <param name="Rows">Its jobs, in order.</param>
internal sealed record IndexContent(string Name, string ToolVersion, ImmutableArray<IndexRow> Rows);
