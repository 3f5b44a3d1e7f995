using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc generate blanker-readings</c>: rates of the blank line for a current meter, and the table to fill in.</summary>
internal static class BlankerReadingsCommand
{
    public const string Name = "blanker-readings";
    public const string Summary = "records that switch the blank line for a current meter, and the table to fill in";
    private const double UsualHoldSeconds = 2;
    private const double LongestHoldSeconds = 600;
    private const double LargestAsideNanometres = 1e7;

    public static PatternCommand Create()
    {
        Option<string> output = FileOption.CreateOutput("records", "Write the records to FILE, in binary.");
        Option<string> table = FileOption.CreateWritten("--table", _ => new OutputChoice([FileContent.Table]), "Write the table to fill in.");
        Option<Quantity?> hold = QuantityOption.CreateWithin("--hold", "How long each rate lasts; 2 s if absent.", new(0.001, Unit.Second), new(LongestHoldSeconds, Unit.Second));
        Option<Quantity?> aside = QuantityOption.CreateWithin(
            "--aside", "How far along x from the field's centre the beam is out of the cup; left out, it stays in.", new(-LargestAsideNanometres, Unit.Nanometre), new(LargestAsideNanometres, Unit.Nanometre));
        var settings = new SettingsOptions(SettingsNeed.Machine);
        var command = new PatternCommand(Name, "Switch the blank line at many rates for a current meter, and write the table to fill in.")
        {
            Details = "Expose: no sample; the beam goes into a Faraday cup at the field's centre, and with --aside also beside it, so that a holder or scrap has to be there. An electrostatic blanker's plates and driver carry high voltage: whoever may work at them connects and covers them, and the beam is on while currents are read.\n"
                + "Measure: the mean current behind the cup, row by row of the table, with a meter that averages over many periods; the beam is off for a second between rows. Short times on and off show rise and fall. With --aside the edge of the cup lies half-way: then the beam leaves or enters as the line turns it off, and each delay shows against the deflection; nearer to the cup than to the place aside the deflection's own lag counts less.\n"
                + "Use: 'patternc fit blanker' takes the table and prints delays, rise and fall, leak and current for the machine file. With a slow link short times are asked for less often than the controller could: a faster one tells more.",
            Examples =
            [
                new("patternc generate blanker-readings --machine machine.yaml --aside \"40 um\" --table currents.csv | patternc emit --machine machine.yaml -o rates.stream", "a stream to send, and the table beside it"),
                new("patternc generate blanker-readings --hold \"5 s\" --table currents.csv -o rates.records", "a beam that stays in the cup, for a slow meter"),
            ],
            Options = { output, table, hold, aside },
        };
        settings.AddTo(command);
        return command.Runs((result, context) => ReadingsTarget.Write(
            result.GetRequiredValue(output),
            result.GetValue(table),
            records => BlankerRatesTarget.Write(
                settings.Read(result, context), result.GetValue(aside)?.In(Unit.Nanometre), result.GetValue(hold)?.In(Unit.Second) ?? UsualHoldSeconds, new RecordsBinaryWriter(records)),
            context));
    }
}
