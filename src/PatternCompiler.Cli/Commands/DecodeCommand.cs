using System.CommandLine;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.BackEnds.Motion;
using PatternCompiler.BackEnds.Npy;
using PatternCompiler.BackEnds.Volts;
using PatternCompiler.BackEnds.Wave;
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
        Option<string> output = FileOption.CreateOutput("records", "Write the records to FILE.");
        Option<bool> binary = DocumentFormOption.Create();
        Option<string> format = ChoiceOption.Create(
            "--format", "What the input is: auto tells all but bare words and motion programs by their first bytes; those must be named.",
            "auto",
            ["auto", .. OutputFormats.Names]);
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
            string chosen = result.GetRequiredValue(format) is not "auto" and var given ? given : Recognise(source);
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output), isBinary);
            IDocumentSink<RecordsHeader, DeflectionRecord> writer = isBinary ? new RecordsBinaryWriter(file.Stream) : new RecordsTextWriter(file.Stream);
            Lazy<BuildSettings> chosenSettings = new(() => settings.Read(result, context));

            // Bare data do not say for which settings they were made.
            RecordsHeader Header() => context.Stages(chosenSettings.Value).RecordsHeader with { MadeFor = default };
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
                case "wav":
                    WaveReader.Read(source, source.Name, Header(), writer, context.Cancellation);
                    break;
                case "npy":
                    NpyReader.Read(source, source.Name, Header(), writer, context.Cancellation);
                    break;
                case "gcode":
                    MotionReader.Read(source, source.Name, Header(), writer, context.Cancellation);
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
            : WaveReader.Recognises(first) ? "wav"
            : NpyReader.Recognises(first) ? "npy"
            : throw new CompileException(
                CommandCodes.UnknownFormat,
                "the first bytes are not those of a stream, records, a table of voltages, a sound file or an array file",
                new SourcePlace(source.Name),
                "bare words and motion programs have nothing to know them by: name them with --format words or gcode");
    }
}
