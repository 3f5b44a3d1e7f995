using System.Globalization;
using System.Reflection;

namespace PatternCompiler.Mutants.Running;

/// <summary>The process in which tests meet the switched build, one mutant after the other.</summary>
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

    /// <summary>
    /// Reads lines of the mutant to switch on, the assembly and the class, and answers each with <see cref="ClassOutcome.Line"/>.
    /// </summary>
    public static int Run(TextReader input, TextWriter output)
    {
        Type switches = Assembly.Load("PatternCompiler").GetType("PatternCompiler.Mutants.Placing.MutantSwitch", throwOnError: true)!;
        FieldInfo active = switches.GetField("Active", BindingFlags.Static | BindingFlags.NonPublic)!;
        Func<int[]> takeReached = switches.GetMethod("TakeReached", BindingFlags.Static | BindingFlags.NonPublic)!.CreateDelegate<Func<int[]>>();
        var runners = Assemblies.ToDictionary(name => name, name => new TestClassRunner(name), StringComparer.Ordinal);
        while (input.ReadLine()?.Split('\t') is [var mutant, var assembly, var type])
        {
            active.SetValue(null, int.Parse(mutant, CultureInfo.InvariantCulture));
            (string? failed, long milliseconds) = runners[assembly].Run(type);
            active.SetValue(null, 0);
            output.WriteLine(new ClassOutcome(failed?.ReplaceLineEndings(" "), milliseconds, takeReached()).Line);
            output.Flush();
        }

        return 0;
    }
}
