using System.CommandLine;
using System.Globalization;
using System.Text;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Links;
using PatternCompiler.Runs;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc log</c>: what was written, from a log of runs.</summary>
internal static class LogCommand
{
    private static readonly string[] TimeForms = ["yyyy-MM-dd", "yyyy-MM-dd'T'HH:mm", "yyyy-MM-dd'T'HH:mm:ss", "yyyy-MM-dd HH:mm", "yyyy-MM-dd HH:mm:ss"];

    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Log of runs, as 'send --log' keeps it.");
        Option<string?> run = RunOption();
        Option<string?> stream = Text("--stream", "Runs of streams whose name holds TEXT or whose hash begins with it.");
        Option<string?> machine = Text("--machine", "Runs on machines whose name holds TEXT.");
        Option<DateTime?> since = Time("--since", "Runs begun then or later, in UTC, such as 2026-03-01 or 2026-03-01T14:30.");
        Option<DateTime?> until = Time("--until", "Runs begun before then, in UTC.");
        var outcome = ChoiceOption<RunOutcome>.CreateOptional("--outcome", "Runs that stand so; open: nothing tells how it ended.", LoggedRun.Outcomes);
        Option<KeyValuePair<string, string>[]> notes = NoteOption.Create("--note", "Runs with this note; may be given several times.");
        Option<KeyValuePair<string, string>[]> add = NoteOption.Create("--add", "Add a note to the run, such as what development showed; may be given several times.");
        var json = new Option<bool>("--json") { Description = "One JSON object; names end in their unit and never change." };
        Option<string> output = FileOption.CreateOutput(OutputChoice.TextOrJson, "Write the list to FILE.");
        var command = new PatternCommand("log", "List the runs of a log, or tell all of one.")
        {
            Details = "The log is plain JSON lines, only ever added to, by several programs at once if need be. A run is one exposure with all its resumed parts. With --run all of it is told, what its stream was made from among it; --add then adds notes to it.",
            Examples =
            [
                new("patternc log runs.log", "a line for each run"),
                new("patternc log runs.log --since 2026-03-01 --note lot=7 --outcome written", "some of them"),
                new("patternc log runs.log --run last --add \"developer=MIBK 1:3, 60 s\"", "notes something of the last run"),
            ],
            Arguments = { input },
            Options = { run, stream, machine, since, until, outcome, notes, add, json, output },
        };
        command.Validators.Add(result =>
        {
            if (result.GetValue(add) is { Length: > 0 } && result.GetValue(run) is null)
            {
                result.AddError("option '--add' needs '--run': the run that the note is about, or last");
            }
        });
        return command.Runs((result, context) =>
        {
            string name = result.GetRequiredValue(input);
            var filter = new RunFilter
            {
                Stream = result.GetValue(stream),
                Machine = result.GetValue(machine),
                Since = result.GetValue(since),
                Until = result.GetValue(until),
                Outcome = result.GetValue(outcome) is null ? null : outcome.In(result),
                Notes = [.. result.GetValue(notes) ?? []],
            };
            using Stream source = InputFile.OpenAgainAndAgain(name);
            LoggedRun[] chosen = [.. LoggedRun.ReadAll(source, name).Where(filter.Takes)];
            if (result.GetValue(run) is { } word)
            {
                LoggedRun one = RunName.Find(word, chosen, name);
                if (result.GetValue(add) is { Length: > 0 } more)
                {
                    SendLog.Note(name, one, more, TimeProvider.System);
                    context.Messages.Say($"noted of run {one.First.Run}");
                    return ExitCode.Done;
                }

                chosen = [one];
            }

            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output));
            if (result.GetValue(json))
            {
                RunJson.Write(chosen, file.Stream);
            }
            else
            {
                file.Stream.Write(Encoding.UTF8.GetBytes(result.GetValue(run) is null ? RunText.Table(chosen) : RunText.Details(chosen[0])));
            }

            file.Commit();
            return ExitCode.Done;
        });
    }

    /// <summary>Which run of a log.</summary>
    public static Option<string?> RunOption() => Text("--run", "The run: its name, the first letters of it, or last.", "RUN");

    private static Option<string?> Text(string name, string description, string helpName = "TEXT") => new(name) { Description = description, HelpName = helpName };

    private static Option<DateTime?> Time(string name, string description) => new(name)
    {
        Description = description,
        HelpName = "TIME",
        CustomParser = result =>
        {
            string text = result.Tokens[0].Value;
            if (DateTime.TryParseExact(text, TimeForms, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal, out DateTime time))
            {
                return time;
            }

            result.AddError($"option '{name}' takes a day or a time such as 2026-03-01 or 2026-03-01T14:30, not '{text}'");
            return null;
        },
    };
}
