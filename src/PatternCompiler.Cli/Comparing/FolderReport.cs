using System.Text;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Cli.Comparing;

/// <summary>A comparison of two folders for people and for scripts.</summary>
internal static class FolderReport
{
    private const int IndentWidth = 4;

    /// <summary>Each file that is not the same, with what differs; empty if there is none.</summary>
    public static string Text(FolderComparison comparison)
    {
        var text = new StringBuilder();
        foreach (FileComparison file in comparison.Files.Where(file => file.Outcome != FileOutcome.Same))
        {
            text.Append(Words(file.Outcome).PadRight(19)).Append(' ').Append(PrintedText.Of(file.Name)).Append('\n');
            foreach (string line in Detail(file).Split('\n', StringSplitOptions.RemoveEmptyEntries))
            {
                text.Append(' ', IndentWidth).Append(line).Append('\n');
            }
        }

        return text.ToString();
    }

    /// <summary>What differs in a file, in lines.</summary>
    public static string Detail(FileComparison file) => file switch
    {
        { Outcome: FileOutcome.Different, Difference: null } => "the bytes differ; this is no document that is compared further",
        { Outcome: not FileOutcome.Same, Difference: { } difference } => ComparisonReport.Text(difference).TrimEnd('\n'),
        { Fault: { } fault } => fault.ToString(),
        _ => "",
    };

    /// <summary>One line of totals.</summary>
    public static string Totals(FolderComparison comparison)
    {
        string totals = $"{comparison.Count(FileOutcome.Same)} the same, {comparison.Count(FileOutcome.Different)} differ, "
            + $"{comparison.Count(FileOutcome.Missing)} missing, {comparison.Count(FileOutcome.New)} new";
        return comparison.Count(FileOutcome.Unreadable) is int unreadable and > 0 ? $"{totals}, {unreadable} cannot be compared" : totals;
    }

    /// <summary>What became of a file.</summary>
    public static string Words(FileOutcome outcome) => outcome switch
    {
        FileOutcome.Same => "same",
        FileOutcome.Different => "differs",
        FileOutcome.Missing => "only in the first",
        FileOutcome.New => "only in the second",
        _ => "cannot compare",
    };
}
