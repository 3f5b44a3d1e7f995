using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Generate;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc generate converter-readings</c>: holds for a voltmeter, and the table to fill in.</summary>
internal static class ConverterReadingsCommand
{
    public const string Name = "converter-readings";
    public const string Summary = "records that hold the outputs for a voltmeter, and the table to fill in";
    private const double UsualHoldSeconds = 5;
    private const double LongestHoldSeconds = 3600;

    public static PatternCommand Create()
    {
        Option<string> output = FileOption.CreateOutput("records", "Write the records to FILE.");
        Option<string> table = FileOption.CreateWritten("--table", _ => new OutputChoice([FileContent.Table]), "Write the table to fill in.");
        Option<Quantity?> hold = QuantityOption.CreateWithin("--hold", "How long each reading is held; 5 s if absent.", new(0.001, Unit.Second), new(LongestHoldSeconds, Unit.Second));
        Option<long?> carryBits = NumberOption.CreateWhole("--carry-bits", $"Carries of so many of the upper bits are read on both sides; {ConverterHolds.UsualCarryBits} if absent.", 1, 12);
        var settings = new SettingsOptions(SettingsNeed.Machine);
        var command = new PatternCommand(Name, "Hold the outputs for a voltmeter, with the beam off, and write the table to fill in.")
        {
            Details = "Expose: nothing; the beam is off throughout. Disconnect the microscope's scan inputs where it allows, else mind that they are driven to both ends. The outputs carry their full voltage: let whoever may work at the instrument connect the meter.\n"
                + "Measure: the voltage of the output that a line of the table names, hold by hold; --hold is how long each lasts. Each output stands at both sides of every large carry, at its ends and at some codes before them, and the other output at both of its ends.\n"
                + "Use: 'patternc fit converter' takes the table and prints gain, offset, nonlinearity, crosstalk and usable codes for the machine file.",
            Examples =
            [
                new("patternc generate converter-readings --machine machine.yaml --table readings.csv | patternc emit --machine machine.yaml -o readings.stream", "a stream to send, and the table beside it"),
                new("patternc generate converter-readings --carry-bits 4 --hold \"20 s\" --table readings.csv -o readings.records", "fewer carries, read by hand"),
            ],
            Options = { output, table, hold, carryBits },
        };
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            BuildSettings chosen = settings.Read(result, context);
            if (!chosen.Machine.Blanker.IsPresent)
            {
                context.Sink.Warn(GenerateCodes.HoldsExpose, "this machine has no blanker: the beam exposes wherever it is held", fix: "turn the beam off at the microscope before these records are sent");
            }

            return ReadingsTarget.Write(
                result.GetRequiredValue(output),
                result.GetValue(table),
                records => ConverterHoldsTarget.Write(
                    chosen, (int)(result.GetValue(carryBits) ?? ConverterHolds.UsualCarryBits), result.GetValue(hold)?.In(Unit.Second) ?? UsualHoldSeconds, new RecordsTextWriter(records)),
                context);
        });
    }
}
