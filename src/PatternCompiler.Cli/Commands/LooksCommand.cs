using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Looks;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc generate looks</c>: records that scan small windows around marks of the layer below.</summary>
internal static class LooksCommand
{
    public const string Name = "looks";
    public const string Summary = "records that look at marks of the layer below with the writing beam";

    public static PatternCommand Create()
    {
        Option<string> output = FileOption.CreateOutput("records", "Write the records to FILE.");
        var settings = new SettingsOptions(SettingsNeed.All);
        var command = new PatternCommand(Name, "Look at marks of the layer below with the writing beam, and at nothing else.")
        {
            Details = "Expose: a raster over a window around each mark that the job's 'looks' names, rows from the top down, points from left to right; the beam is off between. Refused where a window, grown by as much as the layer may lie off, meets what this job or the layer below writes, and where all looks together bring more than half of the dose from which the resist changes.\n"
                + "Measure: record the detector, one sample a point while the scan-enable line is up, or let the microscope record the picture of each window.\n"
                + "Use: 'patternc locate' finds the marks in them, 'patternc fit alignment' where the layer lies.",
            Examples =
            [
                new("patternc generate looks --job look.yaml | patternc emit --machine machine.yaml -o looks.stream", "a stream to send; the note says the dose"),
                new("patternc generate looks --job look.yaml -o looks.records", "the records alone"),
            ],
            Options = { output },
        };
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            BuildSettings chosen = settings.Read(result, context);
            LookPlan plan = LookPlan.Of(chosen, new BuildFiles(context), context.Sink, context.Cancellation);
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output));
            LookExposure.Write(plan, chosen, new RecordsTextWriter(file.Stream), context.Sink);
            file.Commit();
            return ExitCode.Done;
        });
    }
}
