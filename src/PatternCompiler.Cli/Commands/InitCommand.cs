using System.CommandLine;
using System.Text;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Starter;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Schemas;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc init</c>: writes a commented machine, process and job file to start from.</summary>
internal static class InitCommand
{
    private const string MachineName = "machine.yaml";
    private const string ProcessName = "process.yaml";
    private const string JobName = "job.yaml";
    private const int LongestAnswer = 200;

    public static PatternCommand Create()
    {
        var folder = new Argument<string>("folder")
        {
            Description = "Where the files go; made if it does not exist. The current folder if absent.",
            HelpName = "FOLDER",
            Arity = ArgumentArity.ZeroOrOne,
            DefaultValueFactory = _ => ".",
        };
        folder.Validators.Add(FileNameRule.Apply);
        Option<string?> drawing = FileOption.Create("--drawing", "The drawing that the job names, relative to the folder; drawing.dxf if absent.", "FILE");
        var name = new Option<string?>("--name") { Description = "Name of the machine and the job; the folder's name if absent.", HelpName = "NAME" };
        var noBlanker = new Option<bool>("--no-blanker") { Description = "The beam can never be turned off." };
        var ask = new Option<bool>("--ask") { Description = "Ask for each value that no option gives; an empty answer takes the value in brackets." };
        var force = new Option<bool>("--force") { Description = "Overwrite files that are there already." };
        var position = ChoiceOption<PatternPosition>.CreateOptional("--position", "Where the pattern lies in the field: its origin at the centre, or its middle; centred if absent for SVG and PNG, whose origin is a corner.", Choices.Position);
        Option<string?>[] values = [.. Question.All.Select(CreateOption)];
        var command = new PatternCommand("init", "Write a commented machine, process and job file to start from.")
        {
            Details = "The three files hold every setting with its meaning beside it. Change them in an editor and keep them in version control with the drawing: same files, same bytes. The folder 'schemas' is for editors that complete keys and mark mistakes: each file names its schema.",
            Examples =
            [
                new("patternc init", "writes machine.yaml, process.yaml and job.yaml into the current folder"),
                new("patternc init chip --drawing chip.dxf --bits 12 --field \"80 um\" --current \"50 pA\"", "the same into the folder chip, with these values"),
                new("patternc init --ask", "asks a few questions"),
            ],
            Arguments = { folder },
            Options = { drawing, name, position, noBlanker, ask, force },
        };
        foreach (Option<string?> value in values)
        {
            command.Options.Add(value);
        }

        return command.Runs((result, context) =>
        {
            var chosen = new Dictionary<string, string>();
            for (int i = 0; i < values.Length; i++)
            {
                string? text = result.GetValue(values[i]) ?? (result.GetValue(ask) ? Answer(Question.All[i], StarterSettings.Follows(Question.All[i].Key, chosen) ? "what goes with the others" : Question.All[i].BuiltIn, context) : null);
                if (text is not null)
                {
                    chosen[Question.All[i].Key] = text;
                }
            }

            string target = result.GetRequiredValue(folder);
            string art = result.GetValue(drawing) ?? "drawing.dxf";
            bool isCentred = position.In(result, FileContent.OfName(art)?.Word is "svg" or "png" ? PatternPosition.Centred : PatternPosition.AsDrawn) == PatternPosition.Centred;
            return Run(target, new StarterSettings(
                result.GetValue(name) ?? NameOf(target),
                art,
                chosen,
                !result.GetValue(noBlanker),
                isCentred), result.GetValue(force), context);
        });
    }

    private static Option<string?> CreateOption(Question question)
    {
        var option = new Option<string?>(question.Option)
        {
            Description = $"{question.Text} {question.BuiltIn} if absent.",
            HelpName = question.HelpName,
        };
        option.Validators.Add(result =>
        {
            if (result.Tokens is [{ } token, ..] && question.Fault(token.Value) is { } fault)
            {
                result.AddError($"option '{question.Option}': {fault}");
            }
        });
        return option;
    }

    private static string? Answer(Question question, string otherwise, CommandContext context)
    {
        while (true)
        {
            context.Messages.Ask($"{question.Text.TrimEnd('.')} [{otherwise}]: ");
            string? answer = StandardDescriptors.IsClosed(StandardDescriptors.Input) ? null : Console.ReadLine()?.Trim();
            if (string.IsNullOrEmpty(answer))
            {
                return null;
            }

            if (question.Fault(answer) is not { } fault)
            {
                return answer;
            }

            context.Messages.Ask($"  {PrintedText.Of(fault, LongestAnswer)}\n");
        }
    }

    private static string NameOf(string folder) => Path.GetFileName(FileSystem.FullPath(folder)) is { Length: > 0 } name ? name : "pattern";

    private static int Run(string folder, StarterSettings answers, bool force, CommandContext context)
    {
        string machine = Path.Combine(folder, MachineName), process = Path.Combine(folder, ProcessName), jobPath = Path.Combine(folder, JobName);

        // Values that are right one by one may still contradict each other.
        (StarterSettings settings, IReadOnlyList<Diagnostic> doubts) = StarterCheck.Choose(
            answers,
            trial => new BuildSettings(JobFile.Parse(trial.JobText(), jobPath), MachineFile.Parse(trial.MachineText(), machine), ProcessFile.Parse(trial.ProcessText(), process)),
            context.Cancellation);
        (string Name, string Text)[] files = [(machine, settings.MachineText()), (process, settings.ProcessText()), (jobPath, settings.JobText())];
        if (!force && files.FirstOrDefault(file => FileSystem.FileExists(file.Name)).Name is { } existing)
        {
            throw new CompileException(
                CommandCodes.FileExists, "the file is there already", new SourcePlace(existing), "choose another folder, or overwrite with --force");
        }

        string schemas = Path.Combine(folder, Path.GetDirectoryName(StarterSettings.SchemaPath(""))!);
        WriteGuard.Run(schemas, () => FileSystem.CreateFolder(schemas));
        foreach (SettingsSchema schema in SettingsSchema.All)
        {
            using OutputFile output = context.Outputs.Create(Path.Combine(folder, StarterSettings.SchemaPath(schema.Word)));
            schema.Write(output.Stream);
            output.Commit();
        }

        foreach ((string name, string text) in files)
        {
            using OutputFile output = context.Outputs.Create(name);
            output.Stream.Write(Encoding.UTF8.GetBytes(text));
            output.Commit();
            context.Messages.Say($"wrote {name}");
        }

        foreach (Diagnostic doubt in doubts)
        {
            context.Messages.Report(doubt);
        }

        context.Messages.Say(FileSystem.FileExists(Path.Combine(folder, settings.Drawing))
            ? $"next: patternc build {jobPath}"
            : $"next: put your drawing at {Path.Combine(folder, settings.Drawing)}, then: patternc build {jobPath}");
        return ExitCode.Done;
    }
}
