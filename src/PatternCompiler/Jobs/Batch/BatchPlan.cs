using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Text;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Jobs.Batch;

/// <summary>What a batch builds, in a fixed order.</summary>
/// <param name="Name">Name for messages.</param>
/// <param name="File">The batch file, or null.</param>
/// <param name="Entries">The builds.</param>
internal sealed record BatchPlan(string Name, string? File, ImmutableArray<BatchEntry> Entries)
{
    private const int LongestReportName = 100;

    /// <summary>Several job files as they stand.</summary>
    /// <param name="patterns">Job files; *, ? and ** stand for parts of names and folders.</param>
    /// <exception cref="CompileException">A pattern matches nothing.</exception>
    public static BatchPlan OfJobs(IEnumerable<string> patterns) => new(
        "jobs", null, [.. patterns.SelectMany(pattern => FilePattern.Expand(pattern, "")).Distinct(StringComparer.Ordinal).Select(BatchEntry.Of)]);

    /// <summary>The same entries, each with a report of its own in a folder. Names of reports come from those of the entries.</summary>
    public BatchPlan WithReports(string folder)
    {
        string[] names = [.. Entries.Select(entry => ReportNameOf(entry.Name))];
        HashSet<string> clashing = [.. names.GroupBy(name => name, StringComparer.OrdinalIgnoreCase).Where(group => group.Count() > 1).SelectMany(group => group)];
        return this with
        {
            Entries =
            [
                .. Entries.Select((entry, i) => entry with
                {
                    ReportPath = Path.Combine(folder, (clashing.Contains(names[i]) ? $"{names[i]}-{ShortHash(entry.Name)}" : names[i]) + ".html"),
                }),
            ],
        };
    }

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

    /// <summary>Letters, digits and dots; everything else becomes a dash. The index's own name is kept free.</summary>
    private static string ReportNameOf(string entry)
    {
        string plain = string.Concat(entry.Replace(".yaml", "", StringComparison.OrdinalIgnoreCase).Select(c => char.IsAsciiLetterOrDigit(c) || c is '.' or '_' ? c : '-'));
        string name = string.Join('-', plain.Split('-', StringSplitOptions.RemoveEmptyEntries)).Trim('.');
        name = name.Length > LongestReportName ? name[..LongestReportName] : name;
        return name.Length == 0 || name.Equals("index", StringComparison.OrdinalIgnoreCase) ? "job-" + name : name;
    }

    private static string ShortHash(string name) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(name)))[..8];
}
