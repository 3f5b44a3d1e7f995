using PatternCompiler.Reports;

namespace PatternCompiler.Jobs.Batch;

/// <summary>From the results of a batch to the index of its reports.</summary>
internal static class BatchIndex
{
    /// <summary>Name of the index in the folder of the reports.</summary>
    public const string FileName = "index.html";

    /// <summary>What the index shows.</summary>
    public static IndexContent Of(BatchPlan plan, IReadOnlyList<EntryResult> results, string toolVersion) =>
        new(plan.Name, toolVersion, [.. results.Select(RowOf)]);

    private static IndexRow RowOf(EntryResult result) => new(
        result.Entry.Name,
        result.Outcome == EntryOutcome.Failed ? null : Path.GetFileName(result.Entry.ReportPath),
        result.Outcome switch { EntryOutcome.Built => "built", EntryOutcome.UpToDate => "up to date", _ => "failed" },
        result.Outcome == EntryOutcome.Failed ? result.Diagnostics[^1] : null)
    {
        WriteSeconds = result.Figures?.WriteSeconds,
        Warnings = result.Figures?.Warnings,
        HasNewBytes = result.HasNewBytes,
        Reasons = result.Reasons,
    };
}
