using System.CommandLine;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.BackEnds.Points;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Model;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc emit</c>: records to what a controller or an instrument takes.</summary>
internal static class EmitCommand
{
    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Records.");
        Option<string> output = FileOption.CreateOutput(result => OutputChoice.Of(result.GetValue<string>("--format")!) with { FormatOption = "--format" }, "Write to FILE, complete or not at all.");
        var format = ChoiceOption<OutputFormat>.Create(
            "--format",
            "Framed stream, bare words, text records, a table of voltages, a sound file, an array file, a motion program, or a value change dump.",
            OutputFormats.Choice);
        var profile = ChoiceOption<StreamProfile?>.Create(
            "--profile",
            "Whether a stream holds lines or every point; the machine decides if absent.",
            new(("machine", null), ("lines", StreamProfile.Lines), ("points", StreamProfile.Points)));
        Option<long?> wordBytes = NumberOption.CreateWhole("--word-bytes", "Bytes of a stream's words; as few as the converter needs if absent.", 2, 4, "2|3|4");
        var settings = new SettingsOptions(SettingsNeed.Machine);
        var command = new PatternCommand("emit", "Emit records as the bytes that a controller takes.")
        {
            Details = "The framed stream carries checksums and an end record, so that a receiver notices every fault; whether it holds lines or single points is the machine's 'interpolates_lines', unless --profile says otherwise. Words are bare codes for controllers that take nothing else. Voltages (volts) are a table for plotting and for instruments. A sound file (wav) has x, y and blank as channels and one sample per clock tick, for players of sampled data whose outputs are DC coupled: others lose the levels of X and Y within a fraction of a second. An array file (npy) has a row for each point, for numerical programs. A motion program (gcode) is for motion controllers; it states its scale (millimetres on the sample, or with the machine's 'motion.volts_per_unit' volts at the outputs), turns the beam off during rapid moves, and can round dwells to what the controller keeps ('motion.dwell_step'), with a warning that says what it does to doses; 'motion' also names its words for dwells and beam. A value change dump (vcd) shows codes, blank line, beam, scan-enable, waits and figures in any waveform viewer. The blank line has, with the beam off, the level that the machine's 'blanker.active' names: in the blank field of words (all ones are high), the third channel of a sound file (the largest sample is high), the column 'blank' of tables and arrays (1 is high), the line 'blank' of a dump; all of them end with the beam off. A motion program turns the beam off by M5 at either level and tells the operator which level its output must have then. A stream states the level in its header, and a receiver refuses one that is not its own. Records that state another level than the machine given here are refused.",
            Examples =
            [
                new("patternc emit chip.records -o chip.stream", "as the framed stream"),
                new("patternc emit chip.records -o chip.vcd", "for a waveform viewer"),
                new("patternc scale chip.strokes | patternc emit --format volts > chip.csv", "as a table of voltages, in a pipe"),
            ],
            Arguments = { input },
            Options = { output, format, profile, wordBytes },
        };
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            OutputFormat chosen = format.In(result);
            BuildSettings chosenSettings = settings.Read(result, context);
            Machine machine = chosenSettings.Machine;
            using InputStream source = context.Open(result.GetRequiredValue(input));
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output), OutputFormats.IsBinary(chosen));
            IDocumentSink<RecordsHeader, DeflectionRecord> writer = chosen == OutputFormat.Stream
                ? new ExposureStreamWriter(file.Stream, profile.In(result) ?? OutputFormats.ProfileFor(machine), (int?)result.GetValue(wordBytes))
                : OutputFormats.Create(chosen, file.Stream, machine, context.Sink);
            IDocumentSink<RecordsHeader, DeflectionRecord> checkedWriter = chosenSettings.Job.MachinePath is null
                ? writer
                : new MachineLevel(source.Name, machine.Blanker.Level, writer);
            context.Stages(chosenSettings).ReadRecords(new PipelineInput(DocumentKind.Records, source, source.Name), checkedWriter);
            file.Commit();
            return ExitCode.Done;
        });
    }
}
