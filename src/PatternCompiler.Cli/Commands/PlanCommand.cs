using System.CommandLine;
using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Plan;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc plan</c>: what can be written with which current, spot and field.</summary>
internal static class PlanCommand
{
    public static PatternCommand Create()
    {
        var input = new Argument<string?>("input") { Description = "Job file, drawing or figures to plan for; plain areas if absent.", Arity = ArgumentArity.ZeroOrOne };
        Option<Quantity?> feature = QuantityOption.CreatePositive("--feature", "Width of the smallest feature that must print.", Dimension.Length);
        feature.Required = true;
        Option<string?> beams = FileOption.CreateRead("--beams", "Table of measured beams: \"current [pA], spot [nm]\", a line each; the machine's own if absent.");
        Option<string?> fields = FileOption.CreateRead("--fields", "Table of fields: \"field [um], magnification\", a line each, the second column if wanted; the machine's own if absent.");
        Option<long?> row = NumberOption.CreateWhole("--row", "Write the settings of this row of the table instead.", 1, 10_000);
        var json = new Option<bool>("--json") { Description = "One JSON object instead of a table; names end in their unit and never change." };
        Option<string> output = FileOption.CreateOutput(OutputChoice.TextOrJson, "Write the table to FILE.");
        var drawing = new DrawingArguments();
        var settings = new SettingsOptions(SettingsNeed.All, SettingOverride.Strategy(), SettingOverride.Dose());
        var command = new PatternCommand("plan", "Plan with which current, spot and field a pattern can be written.")
        {
            Details = "Every beam is tried in every field: the spacing is the one that 'automatic' would choose, and the limit that rules it is named. A row can be written if the beam in the resist is no wider than the feature, two lines lie side by side in it, and clock, deflection and link keep up with an even dose. Quickest first. Dose noise is that of the number of electrons in a square as wide as the feature. The deflection's speed is taken to be one in volts, so it shrinks with the field; a calibration holds in the machine's own field only.",
            Examples =
            [
                new("patternc plan --feature \"100 nm\" --machine machine.yaml --process process.yaml --beams beams.csv --fields fields.csv", "before there is a drawing"),
                new("patternc plan chip.dxf --feature \"200 nm\" --job job.yaml --beams beams.csv", "times of a drawing"),
                new("patternc plan chip.dxf --feature \"200 nm\" --job job.yaml --beams beams.csv --row 1", "the job's spacings for the first row"),
            ],
            Arguments = { input },
            Options = { feature, beams, fields, row, json, output },
        };
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            if (result.GetValue(row) is not null && result.GetValue(json))
            {
                throw new CompileException(CommandCodes.WrongUsage, "--row writes settings and --json the whole plan", new SourcePlace("patternc plan"), "leave one of the two out");
            }

            double width = result.GetRequiredValue(feature)!.Value.In(Unit.Nanometre);
            WritingPlan plan = Plan(result.GetValue(input), width, Read(result.GetValue(beams), context), Read(result.GetValue(fields), context), result, settings, drawing, context);
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output));
            if (result.GetValue(row) is { } number)
            {
                PlanRow[] writable = [.. plan.Rows.Where(each => each.Refusal is null)];
                PlanRow chosen = number <= writable.Length ? writable[number - 1] : throw new CompileException(
                    CommandCodes.WrongUsage,
                    writable.Length == 0 ? "no row of the plan can be written" : $"the plan has {CountText.Of(writable.Length, "row", "rows")} that can be written",
                    new SourcePlace("patternc plan"),
                    "leave --row out to see the table");
                file.Stream.Write(Encoding.UTF8.GetBytes(PlanText.Settings(chosen, (int)number, plan.IsOfDrawing)));
            }
            else if (result.GetValue(json))
            {
                PlanJson.Write(plan, file.Stream);
            }
            else
            {
                file.Stream.Write(Encoding.UTF8.GetBytes(PlanText.Table(plan)));
            }

            file.Commit();
            return ExitCode.Done;
        });
    }

    private static WritingPlan Plan(
        string? name, double feature, MeasurementTable? beams, MeasurementTable? fields, ParseResult result, SettingsOptions settings, DrawingArguments drawing, CommandContext context)
    {
        if (name is null)
        {
            BuildSettings plain = settings.Read(result, context);
            return WritingPlan.Of(plain, PlanQuestion.Of(feature, plain.Machine, beams, fields), context.Cancellation);
        }

        using CompiledInput source = CompiledInput.Open(name, result, settings, drawing, SettingsNeed.All, context);
        PlanQuestion question = PlanQuestion.Of(feature, source.Settings.Machine, beams, fields);
        return WritingPlan.Of(source.Pipeline, source.Document, source.Settings, question, context.Cancellation);
    }

    private static MeasurementTable? Read(string? path, CommandContext context)
    {
        if (path is null)
        {
            return null;
        }

        using InputStream source = context.Open(path);
        return MeasurementTable.Read(source, source.Name);
    }
}
