using System.Globalization;
using System.Text;

namespace PatternCompiler.VirtualLab;

/// <summary>
/// Runs a closed loop over seeds, each in a lab of its own, and tells which failed and how to run one of them alone. The
/// environment says which seeds: PATTERNC_LAB_SEEDS a number of them, from 1 on, PATTERNC_LAB_SEED one alone.
/// </summary>
public static class LabSeeds
{
    /// <summary>The seeds to run.</summary>
    /// <param name="usual">How many where the environment says nothing.</param>
    public static long[] Chosen(int usual)
    {
        static string? Setting(string name) => Environment.GetEnvironmentVariable(name) is { Length: > 0 } text ? text : null;
        return Setting("PATTERNC_LAB_SEED") is { } one
            ? [long.Parse(one, CultureInfo.InvariantCulture)]
            : [.. Enumerable.Range(1, Setting("PATTERNC_LAB_SEEDS") is { } many ? int.Parse(many, CultureInfo.InvariantCulture) : usual)];
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
