using PatternCompiler.Mutants.Placing;
using PatternCompiler.Mutants.Running;

namespace PatternCompiler.Mutants;

/// <summary>One measurement: copy, switches, run without a fault, mutants, table.</summary>
internal sealed class Measurement(MeasurementOptions options, TextWriter output, TextWriter progress)
{
    public int Run(string tree)
    {
        WorkingCopy copy = WorkingCopy.Make(tree, Path.Combine(options.Work, "tree"));
        var equivalents = Equivalents.Read(Path.Combine(tree, "tests/PatternCompiler.Mutants/Equivalents.yaml"));
        var build = new SwitchedBuild(
            CompilerArguments.Ask(Path.Combine(copy.SourceFolder, "PatternCompiler.csproj")), copy.GeneratedSources, copy.SourceFolder, options.IsWanted);
        Mutant[] all = [.. build.Mutants];
        progress.WriteLine($"{all.Length} mutants in {all.Select(m => m.File).Distinct().Count()} files");
        string taken = Path.Combine(options.Work, "DoesNotCompile.txt");
        build.TakeOut(File.Exists(taken) ? File.ReadLines(taken).ToHashSet(StringComparer.Ordinal) : []);
        build.Write(Path.Combine(copy.Output, "PatternCompiler.dll"), progress.WriteLine);
        File.WriteAllLines(taken, all.Where(m => !build.Compiles(m)).Select(m => m.Identity));
        Mutant[] compiling = [.. all.Where(build.Compiles)];
        Mutant[] chosen = [.. Choose(compiling)];
        progress.WriteLine($"{compiling.Length} compile, {chosen.Length} chosen; run without a fault");
        if (options.ListOnly)
        {
            return List(chosen);
        }

        TestClass[] classes = CoverageRun.Run(copy, Path.Combine(options.Work, "Reached.tsv"), options.Workers);
        progress.WriteLine($"{classes.Length} test classes, {classes.Sum(c => c.Milliseconds) / 1000} s with the switches off");
        ILookup<string, int> numbers = compiling.ToLookup(m => m.File, m => m.Number);
        using var run = new MutantRun(copy.Output, classes) { NumbersOf = file => [.. numbers[file]], MostMilliseconds = options.Seconds is { } seconds ? 1000L * seconds : long.MaxValue };
        if (options.ListUnreached)
        {
            return List(chosen.Where(mutant => !run.IsReached(mutant) && !equivalents.Contains(mutant)));
        }

        Judgement[] judgements = JudgeAll(run, chosen, equivalents);
        RoomTable.Write(output, [.. judgements.Where(j => !IsPlanted(j.Mutant))]);
        string[] faults = [.. Faults(judgements, equivalents, all)];
        foreach (string fault in faults)
        {
            output.WriteLine(fault);
        }

        return faults.Length == 0 ? 0 : 1;
    }

    private int List(IEnumerable<Mutant> mutants)
    {
        foreach (Mutant mutant in mutants)
        {
            output.WriteLine($"{mutant.Identity}\t{mutant.File}:{mutant.Line}\t{mutant.Change}");
        }

        return 0;
    }

    /// <summary>The planted ones always. All the others, the listed equivalents among them, or those that are drawn.</summary>
    private IEnumerable<Mutant> Choose(Mutant[] compiling)
    {
        Mutant[] open = [.. compiling.Where(m => !IsPlanted(m) && (options.Only.Length == 0 || options.Only.Any(part => m.Identity.Contains(part, StringComparison.Ordinal))))];
        IEnumerable<Mutant> drawn = (options.PerFile, options.PerRoom) switch
        {
            ({ } count, _) => Sample.Draw(open, m => m.File, count, options.Seed),
            (_, { } count) => Sample.Draw(open, m => m.Room, count, options.Seed),
            _ => open,
        };

        // Mixed, so that a measurement that is stopped is a fair part of the whole.
        return compiling.Where(IsPlanted).Concat(Sample.Mix(drawn, options.Seed));
    }

    private Judgement[] JudgeAll(MutantRun run, Mutant[] chosen, Equivalents equivalents)
    {
        string path = Path.Combine(options.Work, "Verdicts.tsv");
        using var table = TextWriter.Synchronized(new StreamWriter(path) { AutoFlush = true });
        var judgements = new Judgement[chosen.Length];
        int done = 0;
        Parallel.For(0, chosen.Length, new ParallelOptions { MaxDegreeOfParallelism = options.Workers }, i =>
        {
            (Verdict verdict, string test) = run.Judge(chosen[i]);
            if (verdict is Verdict.Missed or Verdict.NotReached && equivalents.Contains(chosen[i]))
            {
                verdict = Verdict.Equivalent;
            }

            judgements[i] = new Judgement(chosen[i], verdict, test);
            table.WriteLine(judgements[i].Line);
            if (Interlocked.Increment(ref done) % 50 == 0)
            {
                progress.WriteLine($"{done} of {chosen.Length}");
            }
        });
        progress.WriteLine($"verdicts: {path}");
        return judgements;
    }

    /// <summary>What makes the measurement itself fail: a stale list of equivalents, or a planted fault with another verdict than its name says.</summary>
    private IEnumerable<string> Faults(Judgement[] judgements, Equivalents equivalents, Mutant[] all)
    {
        foreach (string gone in equivalents.Gone(all, options.IsWanted))
        {
            yield return $"Equivalents.yaml: the code of '{gone}' has gone.";
        }

        foreach (Judgement caught in judgements.Where(j => j.Verdict is Verdict.Caught or Verdict.Timeout && equivalents.Contains(j.Mutant)))
        {
            yield return $"Equivalents.yaml: '{caught.Mutant.Identity}' is noticed ({caught.Verdict} {caught.Test}).";
        }

        Judgement[] planted = [.. judgements.Where(j => IsPlanted(j.Mutant))];
        string[] kinds = [.. planted.Where(j => j.Mutant.Identity.Contains(".EveryKind|", StringComparison.Ordinal)).Select(j => j.Mutant.Kind).Distinct()];
        if (kinds.Length < MutantFinder.Kinds)
        {
            yield return $"Planted faults of {kinds.Length} kinds ({string.Join(", ", kinds)}), not {MutantFinder.Kinds}: this measurement proves nothing.";
        }

        (string Member, Verdict Verdict)[] expected =
        [
            (".EveryKind|", Verdict.Caught), (".Missed|", Verdict.Missed), (".Caught|", Verdict.Caught), (".NotReached|", Verdict.NotReached),
            (".Endless|dropped statement", Verdict.Timeout), (".Initial|", Verdict.Caught), (".Remembered|", Verdict.Caught),
        ];
        foreach ((string member, Verdict verdict) in expected)
        {
            Judgement[] found = [.. planted.Where(j => j.Mutant.Identity.Contains(member, StringComparison.Ordinal))];
            if (found.Length == 0 || found.Any(j => j.Verdict != verdict))
            {
                yield return $"The planted fault {member} is not reported as {verdict}: this measurement proves nothing.";
            }
        }
    }

    private static bool IsPlanted(Mutant mutant) => mutant.File == SwitchedBuild.PlantedFile;
}
