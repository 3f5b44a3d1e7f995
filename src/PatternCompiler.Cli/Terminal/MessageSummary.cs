using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs.Batch;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Terminal;

/// <summary>
/// The notes and warnings of many builds, one for each number: jobs of a batch are mostly alike, and a warning that is
/// printed a thousand times is read by nobody.
/// </summary>
internal static class MessageSummary
{
    /// <summary>Warnings, then notes, in the order of their numbers: the first of each with how often and where it came up.</summary>
    public static IEnumerable<Diagnostic> Of(ImmutableArray<EntryResult> results)
    {
        var all = results.SelectMany(result => result.Diagnostics
            .Where(diagnostic => diagnostic.Severity != Severity.Error)
            .Select(diagnostic => (result.Entry.Name, Diagnostic: diagnostic)));
        foreach (var same in all.GroupBy(item => (item.Diagnostic.Severity, item.Diagnostic.Code.Id))
            .OrderBy(group => group.Key.Severity == Severity.Note).ThenBy(group => group.Key.Id, StringComparer.Ordinal))
        {
            (string first, Diagnostic diagnostic) = same.First();
            int jobs = same.Select(item => item.Name).Distinct(StringComparer.Ordinal).Count();
            string where = same.Count() == 1 ? $"in {first}" : $"{CountText.Times(same.Count())} in {(jobs == 1 ? first : $"{jobs} builds, first in {first}")}";
            yield return diagnostic with { Message = $"{diagnostic.Message} ({where})", SourceLine = null };
        }
    }
}
