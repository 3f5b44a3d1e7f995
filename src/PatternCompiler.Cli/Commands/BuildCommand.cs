using System.CommandLine;
using System.Text;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc build</c>: from the drawings of a job to its outputs.</summary>
internal sealed class BuildCommand
{
    private readonly Argument<string> input = InputArgument.Create("Job file, or a drawing to be built with the built-in settings.");
    private readonly Option<string> output = FileOption.CreateWritten("--output", _ => OutputChoice.Unknown, "Make this file in place of the job's outputs; - is standard output.");
    private readonly ChoiceOption<OutputFormat> format = ChoiceOption<OutputFormat>.CreateOptional("--format", "What --output holds; the format of the job's first output if absent.", OutputFormats.Choice);
    private readonly Option<string> report = FileOption.CreateWritten("--report", _ => OutputChoice.Of("html"), "Write a report of the build as one HTML file, in place of the job's.");
    private readonly Option<string> provenance = FileOption.CreateWritten("--provenance", _ => OutputChoice.Of("json"), "Write where the outputs come from: inputs and outputs with their hashes, every setting, results and version; compare reads two of these.");
    private readonly Option<string> places = FileOption.CreateWritten("--places", _ => OutputChoice.Of("places"), "Write what was drawn where: with this file later commands name the drawing in messages about the outputs.");
    private readonly Option<string?> keep = FileOption.Create("--keep", "Keep layout, figures, strokes and records in FOLDER.", "FOLDER");
    private readonly Option<bool> binary = new("--binary") { Description = "Keep documents in their compact binary form." };
    private readonly ChoiceOption<Func<string>?> defaults = ChoiceOption<Func<string>?>.CreateOptional(
        "--print-defaults",
        "Print a built-in settings file and stop.",
        new(("machine", () => DefaultFiles.MachineText), ("process", () => DefaultFiles.ProcessText), ("job", () => DefaultFiles.JobText)));
    private readonly DrawingArguments drawing = new();
    private readonly SettingsOptions settings = new(
        SettingsNeed.All,
        SettingOverride.Grid(),
        SettingOverride.ChordError(),
        SettingOverride.Position(),
        SettingOverride.Strategy(),
        SettingOverride.LineDirection(),
        SettingOverride.LinePitch(),
        SettingOverride.PointStep(),
        SettingOverride.Travel(),
        SettingOverride.Dose(),
        SettingOverride.Current());

    public static PatternCommand Create() => new BuildCommand().Command();

    private PatternCommand Command()
    {
        output.Aliases.Add("-o");
        var command = new PatternCommand("build", "Build a job: from its drawings to its outputs.")
        {
            Details = "Runs every stage in one go and checks each document on its way; the bytes are those that the single stages give in a pipe. Outputs get their names when everything has succeeded, or none does. A drawing alone is built with the settings that --job, --machine and --process give or that are built in, into a stream named after it.",
            Examples =
            [
                new("patternc build job.yaml", "builds a job"),
                new("patternc build chip.dxf", "a first result without any other file: chip.stream"),
                new("patternc build page.svg --position centred", "a page, whose origin is a corner, with its middle in that of the field"),
                new("patternc build job.yaml --keep stages", "keeps the document of every stage, too"),
                new("patternc build job.yaml --strict", "refuses to make an output in which something drawn is lost, or that would print stray lines"),
                new("patternc build job.yaml --report chip.html", "writes a page with pictures, doses, times and limits, too"),
                new("patternc build job.yaml --provenance chip.json", "writes down what the outputs come from, too"),
                new("patternc build job.yaml --places chip.places", "writes down what was drawn where, for messages of later commands"),
                new("patternc build --print-defaults machine > machine.yaml", "the built-in machine as a file to change"),
            ],
            Arguments = { input },
            Options = { output, format, report, provenance, places, keep, binary, defaults },
        };
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs(Run);
    }

    private int Run(ParseResult result, CommandContext context)
    {
        if (defaults.In(result, null) is { } text)
        {
            return PrintDefaults(text(), context);
        }

        using InputStream source = context.Open(result.GetRequiredValue(input));
        Job job = JobInput.Read(source, result, settings, drawing);
        if (result.GetValue(output) is { } path)
        {
            OutputFormat chosen = format.In(result, job.Outputs is [{ } first, ..] ? first.Format : OutputFormat.Stream);
            if (path != OutputFiles.StandardName && OutputFormats.ContentOf(chosen).FaultOf(path) is { } fault)
            {
                throw new CompileException(
                    CommandCodes.WrongEnding, fault, new SourcePlace("patternc build --output"), "say with --format what to write, or give the file another name");
            }

            job = job with { Outputs = [new JobOutput(path, chosen)] };
        }

        if (result.GetValue(keep) is { } folder)
        {
            job = job with { Keep = KeepIn(folder, job, result.GetValue(binary)) };
        }

        job = job with { IsStrict = job.IsStrict || context.IsStrict };
        if (result.GetValue(report) is { } page)
        {
            job = job with { Report = job.Report is { } asked ? asked with { Path = page } : new JobReport(page) };
        }

        job = job with { ProvenancePath = result.GetValue(provenance) ?? job.ProvenancePath, PlacesPath = result.GetValue(places) ?? job.PlacesPath };
        BuildSettings chosenSettings = settings.Read(job, result, context) with { ToolVersion = VersionAction.Version };
        using var files = new BuildFiles(context, source);
        BuildSummary summary = BuildRunner.Run(chosenSettings, files, context.Sink, context.Cancellation);
        foreach (string line in BuildSummaryText.Lines(summary))
        {
            context.Messages.Say(line);
        }

        return ExitCode.Done;
    }

    private static KeptDocuments KeepIn(string folder, Job job, bool binary)
    {
        string stem = Path.Combine(folder, job.Sources is [{ Path: not InputFile.StandardName } only] ? Path.GetFileNameWithoutExtension(only.Path) : "pattern");
        return new KeptDocuments(stem + ".layout", stem + ".figures", stem + ".strokes", stem + ".records", binary);
    }

    private static int PrintDefaults(string text, CommandContext context)
    {
        using OutputFile file = context.Outputs.Create(OutputFiles.StandardName);
        file.Stream.Write(Encoding.UTF8.GetBytes(text));
        file.Commit();
        return ExitCode.Done;
    }
}
