using System.Reflection;

namespace PatternCompiler.Mutants.Running;

/// <summary>The process in which tests meet the switched build; PATTERNC_MUTANT says which mutant is on.</summary>
internal static class Worker
{
    private static readonly string[] Assemblies = ["PatternCompiler.Mutants", "PatternCompiler.Tests"];

    /// <summary>Prints every test class: assembly and name.</summary>
    public static int Classes(TextWriter output)
    {
        foreach (string assembly in Assemblies)
        {
            foreach (string type in TestClassRunner.Classes(assembly))
            {
                output.WriteLine($"{assembly}\t{type}");
            }
        }

        return 0;
    }

    /// <summary>Runs the classes that the input names and prints a line each: "reached", assembly, name, milliseconds, what failed, numbers reached.</summary>
    public static int Cover(TextReader input, TextWriter output)
    {
        Func<int[]> takeReached = Assembly.Load("PatternCompiler").GetType("PatternCompiler.Mutants.Placing.MutantSwitch", throwOnError: true)!
            .GetMethod("TakeReached", BindingFlags.Static | BindingFlags.NonPublic)!.CreateDelegate<Func<int[]>>();
        var runners = new Dictionary<string, TestClassRunner>(StringComparer.Ordinal);
        while (input.ReadLine() is { } line)
        {
            ClassOutcome outcome = Run(line, runners);
            output.WriteLine($"reached\t{line}\t{outcome.Milliseconds}\t{outcome.Failed?.ReplaceLineEndings(" ")}\t{string.Join(' ', takeReached())}");
            output.Flush();
        }

        return 0;
    }

    /// <summary>Runs the classes that the input names, a line each; prints a line for each that passes, or the first test that fails.</summary>
    public static int Try(TextReader input, TextWriter output)
    {
        var runners = new Dictionary<string, TestClassRunner>(StringComparer.Ordinal);
        while (input.ReadLine() is { } line)
        {
            if (Run(line, runners).Failed is { } failed)
            {
                output.WriteLine($"failed\t{failed.ReplaceLineEndings(" ")}");
                output.Flush();
                return 0;
            }

            output.WriteLine($"passed\t{line}");
            output.Flush();
        }

        return 0;
    }

    private static ClassOutcome Run(string line, Dictionary<string, TestClassRunner> runners)
    {
        string[] parts = line.Split('\t');
        if (!runners.TryGetValue(parts[0], out TestClassRunner? runner))
        {
            runners.Add(parts[0], runner = new TestClassRunner(parts[0]));
        }

        return runner.Run(parts[1]);
    }
}
