using System.Reflection;

namespace PatternCompiler.Mutants.Running;

/// <summary>The process in which tests meet the switched build; PATTERNC_MUTANT says which mutant is on.</summary>
internal static class Worker
{
    private static readonly string[] Assemblies = ["PatternCompiler.Mutants", "PatternCompiler.Tests"];

    /// <summary>Runs every so-manieth test class and writes a line each: name, milliseconds, numbers reached or what failed.</summary>
    public static int Cover(string output, int part, int parts)
    {
        Func<int[]> takeReached = Assembly.Load("PatternCompiler").GetType("PatternCompiler.Mutants.Placing.MutantSwitch", throwOnError: true)!
            .GetMethod("TakeReached", BindingFlags.Static | BindingFlags.NonPublic)!.CreateDelegate<Func<int[]>>();
        using StreamWriter writer = File.CreateText(output);
        foreach (string assembly in Assemblies)
        {
            using var runner = new TestClassRunner(assembly);
            foreach (string type in TestClassRunner.Classes(assembly).Where((_, i) => i % parts == part))
            {
                ClassOutcome outcome = runner.Run(type);
                writer.WriteLine($"{assembly}\t{type}\t{outcome.Milliseconds}\t{outcome.Failed}\t{string.Join(' ', takeReached())}");
                writer.Flush();
            }
        }

        return 0;
    }

    /// <summary>Runs the classes that the input names, a line each; prints the first test that fails.</summary>
    public static int Try(TextReader input, TextWriter output)
    {
        var runners = new Dictionary<string, TestClassRunner>(StringComparer.Ordinal);
        while (input.ReadLine() is { } line)
        {
            string[] parts = line.Split('\t');
            if (!runners.TryGetValue(parts[0], out TestClassRunner? runner))
            {
                runners.Add(parts[0], runner = new TestClassRunner(parts[0]));
            }

            if (runner.Run(parts[1]).Failed is { } failed)
            {
                output.WriteLine($"failed\t{failed.ReplaceLineEndings(" ")}");
                output.Flush();
                return 0;
            }
        }

        output.WriteLine("passed");
        output.Flush();
        return 0;
    }
}
