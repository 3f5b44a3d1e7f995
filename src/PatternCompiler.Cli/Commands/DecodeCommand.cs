using System.CommandLine;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.BackEnds.Volts;
using PatternCompiler.BackEnds.Words;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
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
        Option<string> output = FileOption.CreateOutput("Write the records to FILE.");
        Option<bool> binary = DocumentFormOption.Create();
        Option<string> format = ChoiceOption.Create(
            "--format", "What the input is: auto tells stream, voltages and records by their first bytes; bare words must be named.", "auto", "auto", "stream", "words", "records", "volts");
        var settings = new SettingsOptions(SettingsNeed.Machine);
        var command = new PatternCommand("decode", "Read emitted bytes back as records.")
        {
            Details = "The reader is as strict as a receiver has to be: a wrong checksum, a gap or a cut end is an error that says where. Words and voltages say nothing of the machine that they were made for, so the machine file must be given.",
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
            string chosen = result.GetRequiredValue(format) is not "auto" and var given ? given : Recognise(source);
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output), isBinary);
            IDocumentSink<RecordsHeader, DeflectionRecord> writer = isBinary ? new RecordsBinaryWriter(file.Stream) : new RecordsTextWriter(file.Stream);
            Lazy<BuildSettings> chosenSettings = new(() => settings.Read(result, context));
            RecordsHeader Header() => MachineHeader.Of(chosenSettings.Value);
            switch (chosen)
            {
                case "stream":
                    ExposureStreamReader.Read(source, source.Name, writer, context.Sink, context.Cancellation);
                    break;
                case "volts":
                    VoltsReader.Read(source, source.Name, Header(), writer, context.Cancellation);
                    break;
                case "words":
                    WordsReader.Read(source, source.Name, Header(), chosenSettings.Value.Machine.Words, writer, context.Cancellation);
                    break;
                default:
                    RecordsReader.Read(source, source.Name, writer, context.Sink, context.Cancellation);
                    break;
            }

            file.Commit();
            return ExitCode.Done;
        });
    }

    private static string Recognise(InputStream source)
    {
        ReadOnlySpan<byte> first = source.Peek(PeekBytes);
        return first.IsEmpty ? throw new CompileException(CommandCodes.EmptyInput, "the input is empty", new SourcePlace(source.Name), "check the stage that should have written it")
            : ExposureStreamReader.Recognises(first) ? "stream"
            : VoltsReader.Recognises(first) ? "volts"
            : RecordsReader.Recognises(first) ? "records"
            : throw new CompileException(
                CommandCodes.UnknownFormat,
                "the first bytes are not those of a stream, a table of voltages or records",
                new SourcePlace(source.Name),
                "bare words have no header to know them by: name them with --format words");
    }
}
