using System.CommandLine;
using System.Runtime.CompilerServices;
using PatternCompiler.Fuzz.Running;

namespace PatternCompiler.Fuzz;

/// <summary>Changed inputs for every reader and every pass, in this process.</summary>
internal static class Program
{
    private static int Main(string[] arguments)
    {
        // Before anything of the library is loaded.
        Coverage.Begin();
        return Start(arguments);
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private static int Start(string[] arguments)
    {
        var targets = new Option<string[]>("--target") { Description = "Targets to run; all if absent.", AllowMultipleArgumentsPerToken = true };
        var seconds = new Option<double>("--seconds") { Description = "Time for all targets together.", DefaultValueFactory = _ => 100 };
        var runs = new Option<long>("--runs") { Description = "Most inputs for each target.", DefaultValueFactory = _ => long.MaxValue };
        var seed = new Option<int>("--seed") { Description = "Every seed is another campaign, the same each time.", DefaultValueFactory = _ => 1 };
        var again = new Option<string?>("--again") { Description = "Run one input again, by what a finding printed." };
        var input = new Option<FileInfo?>("--input") { Description = "Run one file, such as the input that ended the process." };
        var list = new Option<bool>("--list") { Description = "Print the names of the targets." };
        var command = new RootCommand("Finds inputs that do what none may: end in an undocumented exception, or take 2 s or 500 MB.")
        {
            targets, seconds, runs, seed, again, input, list,
        };
        command.SetAction(result =>
        {
            var session = new Session(result.GetValue(targets) ?? [], result.GetValue(seed), Console.Out);
            return result.GetValue(list) ? session.List()
                : result.GetValue(again) is string origin ? session.Again(Lineage.Parse(origin))
                : result.GetValue(input) is FileInfo file ? session.Run(Watch.Kept(file.FullName))
                : session.Run(TimeSpan.FromSeconds(result.GetValue(seconds)), result.GetValue(runs));
        });
        return command.Parse(arguments).Invoke();
    }
}
