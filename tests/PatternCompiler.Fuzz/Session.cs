using System.Globalization;
using PatternCompiler.Fuzz.Running;
using PatternCompiler.Fuzz.Targets;

namespace PatternCompiler.Fuzz;

/// <summary>The targets that were asked for, one after the other, and their results.</summary>
internal sealed class Session
{
    private readonly List<FuzzTarget> targets;
    private readonly int seed;
    private readonly TextWriter output;

    /// <summary>Picks the targets by name; all if there are no names.</summary>
    public Session(IReadOnlyList<string> names, int seed, TextWriter output)
    {
        this.seed = seed;
        this.output = output;
        targets = [.. ((IEnumerable<FuzzTarget>)[
            .. DrawingTargets.All, .. DocumentTargets.All, .. SettingsTargets.All, .. TableTargets.All, .. MicrographTargets.All, .. PassTargets.All])
            .Where(target => names.Count == 0 || names.Contains(target.Name))];
    }

    private static string Running => Path.Combine(Repository.Artifacts, $"running-{Environment.ProcessId}");

    /// <summary>Prints the names.</summary>
    public int List()
    {
        targets.ForEach(target => output.WriteLine(target.Name));
        return 0;
    }

    /// <summary>Runs all targets, each for its share of the time; the last line counts them as a test run does.</summary>
    public int Run(TimeSpan time, long runs)
    {
        int failed = 0;
        long all = 0;
        using var watch = new Watch(Running);
        output.WriteLine($"seed {seed}; the running input is kept in {Running} (--input)");
        foreach (FuzzTarget target in targets)
        {
            var campaign = new Campaign(target, seed, watch);
            campaign.Run(time / targets.Count, runs);
            all += campaign.Runs;
            failed += campaign.Findings.Count > 0 ? 1 : 0;
            output.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{target.Name,-16} {campaign.Runs,10:N0} runs {campaign.Kept,6:N0} kept {Coverage.Taken,7:N0} branches {campaign.Findings.Count,3} findings"));
            foreach (Finding finding in campaign.Findings)
            {
                output.WriteLine(finding);
            }
        }

        File.Delete(Running);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{all:N0} runs"));
        output.WriteLine($"{(failed == 0 ? "Passed!" : "Failed!")}  - Failed: {failed}, Passed: {targets.Count - failed}, Skipped: 0, Total: {targets.Count} - PatternCompiler.Fuzz");
        return failed == 0 ? 0 : 1;
    }

    /// <summary>Makes an input again and runs it alone.</summary>
    public int Again(Lineage origin)
    {
        using var watch = new Watch(Running);
        return Run(new Campaign(targets[0], seed, watch).Make(origin));
    }

    /// <summary>Runs one input of the first target.</summary>
    public int Run(byte[] input)
    {
        using var watch = new Watch(Running);
        Fault? fault = watch.Run(targets[0], input);
        output.WriteLine($"{targets[0].Name}: {Finding.Literal(input)}");
        output.WriteLine(fault is null ? "no finding" : $"{fault.Kind} in {fault.Where}\n{fault.Details}");
        return fault is null ? 0 : 1;
    }
}
