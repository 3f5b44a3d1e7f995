using System.Collections.Immutable;

namespace PatternCompiler.Reports;

/// <summary>Everything that the page of a comparison shows.</summary>
/// <param name="First">Name of the folder or document that is expected.</param>
/// <param name="Second">Name of the one that is there.</param>
/// <param name="ToolVersion">Version of the program.</param>
/// <param name="Totals">How many files ended how, in words.</param>
/// <param name="Files">The files, in order.</param>
internal sealed record ComparisonContent(string First, string Second, string ToolVersion, string Totals, ImmutableArray<ComparedFile> Files);

/// <summary>One file of a comparison.</summary>
/// <param name="Name">Its name below both folders.</param>
/// <param name="Outcome">What became of it, in words.</param>
/// <param name="IsSame">It counts as the same.</param>
/// <param name="Details">What differs, line by line.</param>
/// <param name="Pictures">The first, the second and where they differ; empty where there are none.</param>
/// <param name="NoPicture">Why there are none, or null.</param>
internal sealed record ComparedFile(
    string Name, string Outcome, bool IsSame, ImmutableArray<string> Details, ImmutableArray<ReportPicture> Pictures, string? NoPicture);
