namespace PatternCompiler.Oracles.Receiver;

/// <summary>
/// Two thousand seeded faults on random streams for random boards: bytes changed, lost, doubled and inserted, blocks lost, repeated and
/// swapped, wrong contents with sound checksums, stops, silence, resets, interlocks, triggers that do not come.
/// </summary>
public sealed class FaultTests(CReceiver receiver) : IClassFixture<CReceiver>
{
    private const int Seed = 1;
    private const int Runs = 2000;

    // Faults of faults.c by number. A sound checksum over other contents is another stream, and no receiver can tell: there only the end counts.
    private const int SentTwice = 9;
    private static readonly int[] WrongWriter = [10, 11];

    [Fact]
    public void After_every_fault_the_beam_is_off_and_nothing_wrong_was_exposed()
    {
        List<BenchRun> whole = Log(receiver.Faults(Seed, Runs, isClean: true));
        List<BenchRun> faulty = Log(receiver.Faults(Seed, Runs, isClean: false));
        Assert.Equal((Runs, Runs), (whole.Count, faulty.Count));
        Assert.All(whole, run => Assert.Equal('D', run.LastKind));
        Assert.True(whole.Sum(run => run.Exposed.Count) > 20 * Runs);
        int done = 0;
        for (int i = 0; i < Runs; i++)
        {
            BenchRun run = faulty[i];
            Assert.True(run.EndsBlanked && !run.EndsScanning, $"seed {Seed}, run {i}: the beam is on");
            if (WrongWriter.Contains(run.Fault))
            {
                continue;
            }

            // The first sending may have ended early, for want of a trigger; the second begins anew.
            List<(uint, uint)> right = whole[i].Exposed;
            int common = run.Exposed.Zip(right).TakeWhile(pair => pair.First == pair.Second).Count();
            bool isPart = common == run.Exposed.Count ||
                (run.Fault == SentTwice && Enumerable.Range(0, common + 1).Any(first => run.Exposed.Skip(first).SequenceEqual(right.Take(run.Exposed.Count - first))));
            Assert.True(isPart, $"seed {Seed}, run {i}: point {common} is wrong");
            Assert.True(
                run.LastKind != 'D' || (run.Exposed.TakeLast(right.Count).SequenceEqual(right) && (run.Fault == SentTwice || run.Exposed.Count == right.Count)),
                $"seed {Seed}, run {i}: not all is done");
            done += run.LastKind == 'D' ? 1 : 0;
        }

        // Faults of all numbers came up, and some did no harm.
        Assert.Equal([0, 1, 2, 3, 4, 5, 6, 7, 8, 9], faulty.Select(run => run.LastFault).Distinct().Order());
        Assert.InRange(done, 100, Runs / 2);

        List<BenchRun> Log(string script) => BenchLog.Read(receiver.Bench(script), script);
    }
}
