using System.Diagnostics;
using PatternCompiler.Diagnostics;
using PatternCompiler.Fuzz.Mutation;

namespace PatternCompiler.Fuzz.Running;

/// <summary>
/// Runs a target on changed inputs, keeps those that take new branches to change them further, and shrinks what it finds.
/// The inputs follow from the seed alone; how many there are follows from the time.
/// </summary>
internal sealed class Campaign(FuzzTarget target, int seed, Watch watch)
{
    private const int MostFindings = 10;
    private const int LongestChain = 30;

    private readonly List<(Lineage Origin, byte[] Input)> corpus = [];
    private readonly List<Finding> findings = [];

    /// <summary>Inputs run so far.</summary>
    public long Runs { get; private set; }

    /// <summary>Inputs that take branches which no other takes.</summary>
    public int Kept => corpus.Count;

    /// <summary>What was found, each finding once.</summary>
    public IReadOnlyList<Finding> Findings => findings;

    /// <summary>Runs for a time, or up to a number of inputs.</summary>
    public void Run(TimeSpan time, long mostRuns)
    {
        Coverage.ForgetAll();
        var clock = Stopwatch.StartNew();
        for (int i = 0; i < target.Seeds.Count; i++)
        {
            RequireAccepted(i);
            Try(new Lineage(i, []), target.Seeds[i]);
        }

        for (long run = 1; run <= mostRuns && clock.Elapsed < time && findings.Count < MostFindings; run++)
        {
            var dice = Dice.For(seed, target.Name, run);

            // Late inputs have come further; early ones are shorter.
            int chosen = dice.Chance(2) ? dice.Below(corpus.Count) : corpus.Count - 1 - dice.Below(Math.Min(corpus.Count, 64));
            (Lineage origin, byte[] input) = corpus[chosen];
            Try(origin.Then(run), Changed(input, ref dice));
        }
    }

    /// <summary>Makes one input again.</summary>
    public byte[] Make(Lineage origin)
    {
        byte[] input = target.Seeds[origin.Start];
        foreach (long run in origin.Runs)
        {
            var dice = Dice.For(seed, target.Name, run);
            _ = dice.Chance(2);
            _ = dice.Below(2);
            input = Changed(input, ref dice);
        }

        return input;
    }

    /// <summary>A seed that is refused leads nowhere: the target would try its messages alone.</summary>
    private void RequireAccepted(int seedNumber)
    {
        try
        {
            target.Run(target.Seeds[seedNumber], CancellationToken.None);
        }
        catch (CompileException refusal)
        {
            findings.Add(new Finding(target.Name, seed, new Lineage(seedNumber, []), new Fault("refused seed", target.Name, refusal.Message), target.Seeds[seedNumber]));
        }
    }

    private byte[] Changed(byte[] input, ref Dice dice)
    {
        int changes = 1 << dice.Below(4);
        for (int i = 0; i < changes; i++)
        {
            input = target.Mutations[dice.Below(target.Mutations.Count)](input, target, ref dice);
        }

        input = input.Length > target.LongestInput ? input[..target.LongestInput] : input;
        return dice.Chance(16) ? input : target.Repair(input);
    }

    private void Try(Lineage origin, byte[] input)
    {
        Runs++;
        Fault? fault = watch.Run(target, input);
        if (fault is null)
        {
            if ((Coverage.FoundNew() && origin.Runs.Count < LongestChain) || origin.Runs.Count == 0)
            {
                corpus.Add((origin, input));
            }
        }
        else if (!findings.Exists(known => known.Fault.IsSameAs(fault)))
        {
            byte[] shortest = new Shrinker(watch, target, fault).Run(input);
            Fault last = watch.Run(target, target.Repair(shortest)) is { } again && fault.IsSameAs(again) ? again : fault;
            findings.Add(new Finding(target.Name, seed, origin, last, shortest));
        }
    }
}
