using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Tests.Jobs;

namespace PatternCompiler.Tests.Kept;

/// <summary>Whole builds of cases that use much of what the program can: every output, message and estimate is as in the version before.</summary>
public sealed class KeptRunTests
{
    private const int Cases = 90;
    private const int Reports = 1;

    // Corrected or searched for seconds: the tests of these stages have their own.
    private static readonly int[] Slow = [2, 35, 45, 73, 76];

    [Fact]
    public void Outputs_messages_and_estimates_are_those_of_the_version_before()
    {
        var kept = new KeptTable("Runs");
        int built = 0;
        List<string> refused = [];
        foreach (int number in Enumerable.Range(1, Cases).Except(Slow))
        {
            KeptCase one = KeptCase.Of(number);
            MemoryFiles files = new MemoryFiles().With("a.layout", one.Drawing);
            var sink = new DiagnosticSink();
            string told;
            try
            {
                Job job = JobFile.Parse(one.Job + (number <= Reports ? "report: a.html\n" : ""), "job.yaml");
                BuildSummary summary = BuildRunner.Run(new BuildSettings(job, MachineFile.Parse(one.Machine, "machine.yaml"), ProcessFile.Parse(one.Process, "process.yaml")), files, sink, CancellationToken.None);
                told = EstimateText.Format(summary.Estimate);
                built++;
            }
            catch (CompileException fault)
            {
                told = fault.Message;
                refused.Add($"{number}: {told}");
            }

            kept.Add($"{number:000}/told", $"{told}\n{string.Join('\n', sink.Collected)}");
            foreach ((string path, byte[] bytes) in files.Written)
            {
                kept.Add($"{number:000}/{path}", bytes);
            }
        }

        Assert.True(built > Cases / 2, $"{built} of {Cases} were built; {string.Join('\n', refused)}");
        kept.Check();
    }
}
