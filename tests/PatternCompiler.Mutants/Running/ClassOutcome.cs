using System.Globalization;

namespace PatternCompiler.Mutants.Running;

/// <summary>How the tests of a class went.</summary>
/// <param name="Failed">The first test that failed, or null.</param>
/// <param name="Reached">The switches reached: with a mutant on, that one or none.</param>
internal sealed record ClassOutcome(string? Failed, long Milliseconds, int[] Reached)
{
    private const string Mark = "class ran";

    /// <summary>The line with which a worker answers.</summary>
    public string Line => $"{Mark}\t{Milliseconds}\t{Failed?.Replace('\t', ' ')}\t{string.Join(' ', Reached)}";

    /// <summary>What an answer says; null for a line that a test printed.</summary>
    public static ClassOutcome? Read(string line) => line.Split('\t') is [Mark, var milliseconds, var failed, var reached]
        ? new ClassOutcome(
            failed.Length == 0 ? null : failed, long.Parse(milliseconds, CultureInfo.InvariantCulture),
            [.. reached.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(n => int.Parse(n, CultureInfo.InvariantCulture))])
        : null;
}
