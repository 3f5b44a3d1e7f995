using System.CommandLine;
using PatternCompiler.Mutants.Coverage;
using PatternCompiler.Mutants.Running;
using PatternCompiler.Mutants;

if (args is ["worker", "classes"])
{
    return Worker.Classes(Console.Out);
}

if (args is ["worker", "run"])
{
    return Worker.Run(Console.In, Console.Out);
}

var rooms = new Argument<string[]>("rooms") { Description = "Rooms or files below src/PatternCompiler; when none is given, those where a fault costs a sample or a column.", Arity = ArgumentArity.ZeroOrMore };
var sample = new Option<int?>("--sample") { Description = "Mutants drawn from each file; all when neither this nor --per-room is given, which takes hours." };
var perRoom = new Option<int?>("--per-room") { Description = "Mutants drawn from each room, every mutant as likely as any other: an unbiased share." };
var seed = new Option<int>("--seed") { Description = "Chooses the draw.", DefaultValueFactory = _ => 1 };
var workers = new Option<int>("--workers") { Description = "Mutants tried side by side.", DefaultValueFactory = _ => 1 };
var only = new Option<string[]>("--only") { Description = "Only mutants whose identity contains one of these.", AllowMultipleArgumentsPerToken = true, DefaultValueFactory = _ => [] };
var seconds = new Option<int?>("--seconds") { Description = "Most time of tests for a mutant, nearest first; one that is not noticed by then counts as missed. All that reach it if left out." };
var everywhere = new Option<bool>("--everywhere") { Description = "When no rooms are given: the whole library." };
var list = new Option<bool>("--list") { Description = "Print the chosen mutants and stop." };
var unreached = new Option<bool>("--unreached") { Description = "Print the mutants that no unit test reaches and stop." };
var work = new Option<string>("--work") { Description = "Folder of the working copy and of Verdicts.tsv.", DefaultValueFactory = _ => Path.Combine(Tree(), ".artifacts/mutants") };
var root = new RootCommand("Seeds faults into the library and tells which the unit tests notice. Exit code 1: the list of equivalents is stale or a planted fault is misjudged.")
{
    rooms, sample, perRoom, seed, workers, only, seconds, everywhere, list, unreached, work,
};
var reports = new Argument<string[]>("reports") { Description = "Coverage reports in the Cobertura form, as .ci/coverage collects them.", Arity = ArgumentArity.OneOrMore };
var coverage = new Command("coverage", "Prints lines and branches reached by room, and what is not reached.") { reports };
coverage.SetAction(parsed => CoverageReport.Print(parsed.GetValue(reports)!, Path.Combine(Tree(), "tests/PatternCompiler.Mutants/Uncovered.yaml"), Console.Out));
root.Subcommands.Add(coverage);
root.SetAction(parsed =>
{
    string[] chosen = parsed.GetValue(rooms) is { Length: > 0 } given ? given
        : parsed.GetValue(everywhere) ? [] : MeasurementOptions.WritingRooms;
    var options = new MeasurementOptions(
        parsed.GetValue(work)!, chosen, parsed.GetValue(sample), parsed.GetValue(perRoom), parsed.GetValue(seed), parsed.GetValue(workers), parsed.GetValue(only)!, parsed.GetValue(seconds), parsed.GetValue(list),
        parsed.GetValue(unreached));
    return new Measurement(options, Console.Out, Console.Error).Run(Tree());
});
return root.Parse(args).Invoke();

static string Tree()
{
    string? folder = AppContext.BaseDirectory;
    while (folder is not null && !File.Exists(Path.Combine(folder, "PatternCompiler.sln")))
    {
        folder = Path.GetDirectoryName(folder);
    }

    return folder ?? throw new InvalidOperationException("PatternCompiler.sln is in no folder above this program.");
}
