using System.Globalization;
using System.Text;
using PatternCompiler.VirtualLab;
using Xunit.Abstractions;

namespace PatternCompiler.Oracles.Lab;

/// <summary>Runs a closed loop over the seeds of the virtual lab and prints what came of each.</summary>
internal static class LabLoop
{
    // One of fifty may miss: what is measured is noisy.
    private const double MostMissed = 0.02;

    /// <summary>Runs it; fails where more seeds miss than may.</summary>
    /// <param name="console">Takes a line for each seed.</param>
    /// <param name="usual">How many seeds where the environment says nothing.</param>
    /// <param name="loop">The loop of a seed: what was found, and whether it is right.</param>
    public static void Run(ITestOutputHelper console, int usual, Func<long, (string Found, bool IsRight)> loop)
    {
        var log = new StringBuilder();
        LabVerdict verdict = LabSeeds.Run(LabSeeds.Chosen(usual), seed =>
        {
            (string found, bool isRight) = loop(seed);
            log.Append(CultureInfo.InvariantCulture, $"seed {seed}: {found}\n");
            return isRight ? null : found;
        });
        console.WriteLine($"{verdict.Seeds} seeds, {verdict.Failed} missed\n{verdict.Report}{log}");
        Assert.True(verdict.Failed <= MostMissed * verdict.Seeds, verdict.Report);
    }
}
