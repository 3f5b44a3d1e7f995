using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Generate.BringUp;
using PatternCompiler.Jobs;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc generate bring-up</c>: numbered streams to bring a writer up with, and the page that goes with them.</summary>
internal static class BringUpCommand
{
    public const string Name = "bring-up";
    public const string Summary = "numbered streams that bring a new writer up step by step, and the page that says what to look at";

    public static PatternCommand Create()
    {
        var folder = new Argument<string>("folder") { Description = "Where the files go; made if it does not exist.", HelpName = "FOLDER" };
        folder.Validators.Add(FileNameRule.Apply);
        Option<Quantity?> dose = QuantityOption.CreatePositive("--line-dose", "Dose of the circle on scrap; 5 nC/cm if absent.", Dimension.LineDose);
        var force = new Option<bool>("--force") { Description = "Overwrite files that are there already." };
        var settings = new SettingsOptions(SettingsNeed.Machine);
        var command = new PatternCommand(Name, "Write numbered streams that bring a new writer up, and the page that goes with them.")
        {
            Details = "Expose: in the order of the page (index.html): first the controller alone with the microscope's high voltage off, then behind its cables at a dummy load, then with the beam in a Faraday cup and on a scrap. Steps that do not look at the blank line leave the beam off; the page says which move it, and why. High voltage, X-rays and vacuum are for people licensed for them; where your local codes or the instrument's manual differ, they are right.\n"
                + "Measure: each step with a scope, a voltmeter or a current meter against its pictures and numbers, which hold for this machine file.\n"
                + "Use: the page says what is wrong where something else is seen, which key of the machine file to correct, and when to stop. No record is shorter than the link follows at half of its rate.",
            Examples =
            [
                new("patternc generate bring-up bench --machine machine.yaml", "streams, pictures and index.html in the folder bench"),
                new("patternc generate bring-up bench --machine machine.yaml --line-dose \"2 nC/cm\" --force", "the same again with a weaker circle on scrap"),
            ],
            Arguments = { folder },
            Options = { dose, force },
        };
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            BuildSettings chosen = settings.Read(result, context) with { ToolVersion = VersionAction.Version };
            var set = new BringUpFiles(chosen, result.GetValue(dose)?.In(Unit.CoulombPerMetre) ?? BringUpLadder.UsualCoulombsPerMetre, result.GetRequiredValue(folder));
            string[] names = [.. set.Names];
            if (!result.GetValue(force) && names.FirstOrDefault(FileSystem.FileExists) is { } existing)
            {
                throw new CompileException(CommandCodes.FileExists, "the file is there already", new SourcePlace(existing), "choose another folder, or overwrite with --force");
            }

            using (var files = new BuildFiles(context))
            {
                set.Write(files, context.Cancellation);
            }

            context.Messages.Say($"wrote {CountText.Of(names.Length, "file", "files")}; begin with {set.Page}");
            return ExitCode.Done;
        });
    }
}
