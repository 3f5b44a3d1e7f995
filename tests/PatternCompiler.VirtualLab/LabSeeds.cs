using System.Globalization;
using System.Text;

namespace PatternCompiler.VirtualLab;

/// <summary>
/// Runs a closed loop over seeds, each in a lab of its own, and tells which failed and how to run one of them alone. The
/// environment says which seeds: PATTERNC_LAB_SEEDS a number of them, from 1 on, or the first and the last (41-80), PATTERNC_LAB_SEED
/// one alone.
/// </summary>
public static class LabSeeds
{
    /// <summary>The seeds to run.</summary>
    /// <param name="usual">How many where the environment says nothing.</param>
    public static long[] Chosen(int usual)
    {
        static string? Setting(string name) => Environment.GetEnvironmentVariable(name) is { Length: > 0 } text ? text : null;
        static int Number(string text) => int.Parse(text, NumberStyles.None, CultureInfo.InvariantCulture);
        if (Setting("PATTERNC_LAB_SEED") is { } one)
        {
            return [Number(one)];
        }

        string[] ends = Setting("PATTERNC_LAB_SEEDS")?.Split('-') ?? [];
        (int first, int last) = ends.Length switch { 0 => (1, usual), 1 => (1, Number(ends[0])), _ => (Number(ends[0]), Number(ends[1])) };
        return [.. Enumerable.Range(first, last - first + 1)];
    }

    /// <summary>Runs a loop for each seed; null from it is success, a text says what is wrong.</summary>
    /// <returns>What failed, a line each, empty if nothing did.</returns>
    public static LabVerdict Run(IReadOnlyList<long> seeds, Func<long, string?> loop)
    {
        var text = new StringBuilder();
        int failed = 0;
        foreach (long seed in seeds)
        {
            string? fault;
            try
            {
                fault = loop(seed);
            }
            catch (Exception error) when (error is not OutOfMemoryException)
            {
                fault = $"{error.GetType().Name}: {error.Message}";
            }

            if (fault is not null)
            {
                failed++;
                text.Append(CultureInfo.InvariantCulture, $"seed {seed} (alone: PATTERNC_LAB_SEED={seed}): {fault}\n");
            }
        }

        return new LabVerdict(seeds.Count, failed, text.ToString());
    }
}

/// <summary>What came of a run over seeds.</summary>
public sealed record LabVerdict(int Seeds, int Failed, string Report);
