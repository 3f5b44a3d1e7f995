using System.Collections.Immutable;
using System.CommandLine;
using System.Globalization;
using System.Text;
using PatternCompiler.Checks;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Links;
using PatternCompiler.Cli.Manual;
using PatternCompiler.Cli.Running;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Runs.Steps;
using PatternCompiler.Send;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc run</c>: a job at the microscope, step by step.</summary>
internal sealed class RunCommand
{
    private static readonly TimeSpan GraceForStop = TimeSpan.FromSeconds(10);

    private readonly Argument<string> input = InputArgument.Create("Job file.");
    private readonly LinkOptions link = new();
    private readonly Option<string> log = FileOption.CreateWritten("--log", _ => new OutputChoice([FileContent.Text]), "Add what happens to the log of runs in FILE; the streams of the steps are kept beside it.");
    private readonly Option<string?> answers = FileOption.CreateRead("--answers", "File of answers to the questions; a line each, 'step/question: answer', or 'any/question: answer' for every step.");
    private readonly Option<string?> resume = new("--resume") { Description = "Go on with a run of the log: its name, the first letters of it, or last.", HelpName = "RUN" };
    private readonly Option<long?> from = NumberOption.CreateWhole("--from", "Record with which a step that was cut short goes on, counted from 1; goes with --resume.", 1, long.MaxValue);
    private readonly Option<KeyValuePair<string, string>[]> notes = NoteOption.Create("--note", "What the log is to tell of the sample, such as lot=7 or \"bake=180 C, 90 s\"; may be given several times.");
    private readonly Option<bool> dryRun = new("--dry-run") { Description = "Print the steps and all questions, as a file of answers to fill in; send nothing." };
    private readonly Option<string> output = FileOption.CreateOutput("yaml", "Write the questions of --dry-run to FILE.");
    private readonly SettingsOptions settings = new(SettingsNeed.All) { HasJob = false };

    public static PatternCommand Create() => new RunCommand().Command();

    private PatternCommand Command()
    {
        var command = new PatternCommand("run", "Write a job at the microscope, step by step, with a checklist and holds.")
        {
            Details = "The job is compiled and judged as a whole first. Then come the questions of a checklist that follows from machine, process and job; a no ends the run before the beam is on. Steps are write fields, groups of layers or copies, as 'run' in the job says: before each the beam is off, and what the job wants is asked. "
                + "Streams are made step by step with the current that was read last, or with the line through the last readings, within the limits that the job states; so dwells follow the current, and bytes are never changed.\n"
                + "Answers come from --answers and, where that has none, from the terminal. Where there is neither, the run ends with the beam off (exit code 4), and can be resumed: steps that are written stay so, and a step that was stopped goes on behind its last record, with the stream that was kept.\n"
                + "The questions replace no interlock and no rule of the laboratory.",
            ExitCodes =
            [
                new(ExitCode.Done, "every step is written, each record once, by the receiver's word"),
                .. ExitCodeMeaning.Usual.Where(code => code.Code is ExitCode.InputWrong or ExitCode.UsageWrong),
                new(ExitCode.InputOutput, "not everything is written, nobody answers, or something is not as it must be: the beam is off by the receiver's word, or the message says that it is not known"),
                .. ExitCodeMeaning.Usual.Where(code => code.Code is ExitCode.Defect),
                new(ExitCode.Interrupted, "stopped by the user; the message tells after which record"),
            ],
            Examples =
            [
                new("patternc run job.yaml --dry-run > answers.yaml", "the steps, and all questions to answer"),
                new("patternc run job.yaml --link /dev/ttyACM0 --log runs.log --note lot=7", "with questions at the terminal"),
                new("patternc run job.yaml --link /dev/ttyACM0 --log runs.log --answers answers.yaml", "by a script"),
                new("patternc run job.yaml --link /dev/ttyACM0 --log runs.log --resume last", "goes on after a stop"),
            ],
            Arguments = { input },
            GraceForStop = GraceForStop,
        };
        link.AddTo(command, isRequired: false);
        foreach (Option option in (Option[])[log, answers, resume, from, notes, dryRun, output])
        {
            command.Options.Add(option);
        }

        settings.AddTo(command);
        command.Validators.Add(result =>
        {
            bool isDry = result.GetValue(dryRun);
            if (!isDry && (!link.IsNamed(result) || result.GetValue(log) is null))
            {
                result.AddError("options '--link' and '--log' say where to send the streams and where to remember what is written; --dry-run needs neither");
            }

            if (result.GetValue(from) is not null && result.GetValue(resume) is null)
            {
                result.AddError("option '--from' goes with '--resume': the run in which a step was cut short");
            }
        });
        return command.Runs(Run);
    }

    private int Run(ParseResult result, CommandContext context)
    {
        string path = result.GetRequiredValue(input);
        Job job = JobFile.Read(path);
        BuildSettings chosen = settings.Read(job with { IsStrict = job.IsStrict || context.IsStrict }, result, context) with { ToolVersion = VersionAction.Version };
        using var files = new BuildFiles(context);
        CompiledRun compiled = CompiledRun.Of(chosen, files, context.Sink, context.Cancellation);
        ImmutableArray<RunStep> steps = compiled.Steps;
        if (result.GetValue(dryRun))
        {
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output));
            file.Stream.Write(Encoding.UTF8.GetBytes(RunPlanText.Of(chosen, steps, compiled.Estimate, RunChecklist.All(steps, chosen))));
            file.Commit();
            return ExitCode.Done;
        }

        RunAnswers? known = result.GetValue(answers) is { } file2 ? RunAnswers.Parse(SettingsText.Read(file2, "answers"), file2, RunChecklist.WithResumed(steps, chosen)) : null;
        string logPath = result.GetValue(log)!, port = link.NameIn(result)!;
        RunPart part = result.GetValue(resume) is { } word ? RunPart.Next(logPath, word) : RunPart.New(logPath, TimeProvider.System);
        bool canAsk = port != InputFile.StandardName && !Console.IsInputRedirected && !StandardDescriptors.IsClosed(StandardDescriptors.Input);
        var run = new RunInSteps(chosen, compiled, new RunOperator(known, canAsk, context), part, result.GetValue(from), context);
        using ReceiverLink receiver = link.Open(result);
        run.Run(receiver, port, link.In(result, null), result.GetValue(notes) ?? []);
        return ExitCode.Done;
    }
}
