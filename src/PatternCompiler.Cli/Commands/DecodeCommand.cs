using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc decode</c>: emitted bytes back to records.</summary>
internal static class DecodeCommand
{
    private const int PeekBytes = 64;

    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("What emit wrote.");
        Option<string> output = FileOption.CreateOutput("records", "Write the records to FILE.");
        Option<bool> binary = DocumentFormOption.Create();
        var format = ChoiceOption<OutputFormat?>.Create(
            "--format", "What the input is: auto tells all but bare words and motion programs by their first bytes; those must be named.",
            new([("auto", null), .. OutputFormats.Choice.Entries.Select(entry => (entry.Word, (OutputFormat?)entry.Value))]));
        var settings = new SettingsOptions(SettingsNeed.Machine);
        var command = new PatternCommand("decode", "Read emitted bytes back as records.")
        {
            Details = "The reader is as strict as a receiver has to be: a wrong checksum, a gap or a cut end is an error that says where. Only streams and records say which machine they were made for; for everything else the machine file must be given, and the level of its blank line must be the one that the data have.",
            Examples =
            [
                new("patternc decode chip.stream", "prints the records as text"),
                new("patternc decode chip.words --format words --machine machine.yaml -o chip.records", "for bare words"),
            ],
            Arguments = { input },
            Options = { output, binary, format },
        };
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            bool isBinary = result.GetValue(binary);
            using InputStream source = context.Open(result.GetRequiredValue(input));
            OutputFormat chosen = format.In(result) ?? Recognise(source);
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output), isBinary);
            IDocumentSink<RecordsHeader, DeflectionRecord> writer = isBinary ? new RecordsBinaryWriter(file.Stream) : new RecordsTextWriter(file.Stream);
            Lazy<BuildSettings> chosenSettings = new(() => settings.Read(result, context));

            // Bare data do not say for which settings they were made.
            (RecordsHeader, Machine) MadeFor() => (context.Stages(chosenSettings.Value).RecordsHeader with { MadeFor = default }, chosenSettings.Value.Machine);
            OutputFormats.Read(chosen, source, source.Name, MadeFor, writer, context.Sink, context.Cancellation);
            file.Commit();
            return ExitCode.Done;
        });
    }

    private static OutputFormat Recognise(InputStream source)
    {
        ReadOnlySpan<byte> first = source.Peek(PeekBytes);
        return first.IsEmpty ? throw new CompileException(CommandCodes.EmptyInput, "the input is empty", new SourcePlace(source.Name), "check the stage that should have written it")
            : OutputFormats.Recognise(first) ?? throw new CompileException(
                CommandCodes.UnknownFormat,
                $"the first bytes are not those of {Listed(OutputFormats.Recognised.Select(content => content.Title), "or")}",
                new SourcePlace(source.Name),
                $"{Listed(Nameless.Select(content => content.Title), "and")} have nothing to know them by: name them with --format {Listed(Nameless.Select(content => content.Word), "or")}");
    }

    private static IEnumerable<FileContent> Nameless => OutputFormats.Contents.Except(OutputFormats.Recognised);

    private static string Listed(IEnumerable<string> words, string last) => $"{string.Join(", ", words.SkipLast(1))} {last} {words.Last()}";
}
