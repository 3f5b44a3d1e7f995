using System.Diagnostics;

namespace PatternCompiler.EndToEnd;

/// <summary>A batch that is killed at any moment and started again ends in the same bytes as one that is left alone.</summary>
public sealed class BatchRecoveryTests
{
    private const int Jobs = 12;

    /// <summary>
    /// How often the batch is killed; the environment variable PATTERNC_KILLS asks for more. Continuous integration kills
    /// the native executable, which starts fast, a hundred times.
    /// </summary>
    private static int Kills => int.TryParse(Environment.GetEnvironmentVariable("PATTERNC_KILLS"), out int kills) ? kills : 6;

    [Fact]
    public void A_killed_batch_completes_to_the_same_bytes()
    {
        using WorkFolder even = WithJobs(new WorkFolder(), 0);
        using WorkFolder odd = WithJobs(new WorkFolder(), 1);
        even.Run("batch", "job*.yaml").Expect(0);
        long started = Stopwatch.GetTimestamp();
        odd.Run("batch", "job*.yaml").Expect(0);
        TimeSpan whole = Stopwatch.GetElapsedTime(started);
        var random = new Random(20240229);
        using WorkFolder folder = WithJobs(new WorkFolder(), 1);
        folder.Run("batch", "job*.yaml").Expect(0);
        int cutShort = 0, kill = 0;
        for (; cutShort < Kills && kill < 5 * Kills; kill++)
        {
            // Complete outputs of the other variant lie there; then the drawings change, and the build is killed on its way.
            WithJobs(folder, kill % 2);
            started = Stopwatch.GetTimestamp();
            using (Process process = Executable.Start(folder.Path, ["batch", "job*.yaml"]))
            {
                if (process.WaitForExit((int)(random.NextDouble() * whole.TotalMilliseconds)))
                {
                    // The machine has become faster: it was too late to kill.
                    whole = Stopwatch.GetElapsedTime(started);
                }
                else
                {
                    cutShort++;
                }

                process.Kill();
                process.WaitForExit();
            }

            folder.Run("batch", "job*.yaml").Expect(0);
            WorkFolder reference = kill % 2 == 0 ? even : odd;
            for (int job = 0; job < Jobs; job++)
            {
                Assert.True(folder.Read($"job{job}.stream").AsSpan().SequenceEqual(reference.Read($"job{job}.stream")), $"kill {kill}: job{job}.stream differs");
            }

            Assert.Equal(Named(reference), Named(folder));
        }

        Assert.True(cutShort == Kills, $"only {cutShort} of {kill} builds were still running when they were to be killed");
        Outcome idle = folder.Run("batch", "job*.yaml").Expect(0);
        Assert.EndsWith($"0 built, {Jobs} up to date, 0 failed\n", idle.Errors, StringComparison.Ordinal);
    }

    private static IEnumerable<string> Named(WorkFolder folder) => folder.Entries.Where(entry => !entry.StartsWith(".patternc/", StringComparison.Ordinal));

    private static WorkFolder WithJobs(WorkFolder folder, int variant)
    {
        for (int job = 0; job < Jobs; job++)
        {
            folder.With($"chip{job}.layout", $"layout 1\nunit um\nlayer pads\nrepeat 8 as i\n  rect on pads at (i, 0) size (0.5, {job + 1 + (variant / 2.0)})\nend\n");
            folder.With($"job{job}.yaml", $"job: chip {job}\nsources: [chip{job}.layout]\noutputs: [{{file: job{job}.stream, format: stream}}]\n");
        }

        return folder;
    }
}
