using System.Collections.Immutable;
using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Boolean;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Offset;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc offset</c>: grows or shrinks areas.</summary>
internal static class OffsetCommand
{
    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Drawing.");
        Option<string> output = FileOption.CreateOutput("layout", "Write the layout to FILE.");
        Option<Quantity?> by = QuantityOption.Create("--by", "Move every edge outward by this; a negative length moves it inward.", Dimension.Length);
        Option<string[]> layerBy = CreateLayerOption();
        var join = ChoiceOption<OffsetJoin>.Create("--join", "Shape about corners.", Choices.Corners);
        Option<double?> mitreLimit = NumberOption.CreateReal("--mitre-limit", "Largest distance of a mitre's tip from its corner, in offset distances.", 1, 1000);
        var lines = ChoiceOption<PathCap?>.CreateOptional(
            "--lines",
            "Lines without width grow into areas with such ends, twice the distance wide, and dots into discs or squares.",
            new(("flat", PathCap.Flat), ("square", PathCap.Square), ("round", PathCap.Round)));
        var drawing = new DrawingArguments();
        var settings = new SettingsOptions(SettingsNeed.None, SettingOverride.Grid(), SettingOverride.ChordError());
        var command = new PatternCommand("offset", "Grow or shrink the areas of layers.")
        {
            Details = "To make up for the spot's size and for development. Each layer is merged first, so that borders inside it do not move. Shapes that shrink may split or vanish, holes may close. Lines without width and dots stay as they are unless --lines is given.",
            Examples =
            [
                new("patternc offset chip.layout --by=-20nm -o biased.layout", "shrinks every layer by 20 nm on each side"),
                new("patternc offset chip.dxf --layer-by \"pads=0.1 um\" --join round | patternc fracture > chip.figures", "grows one layer, with round corners"),
            ],
            Arguments = { input },
            Options = { output, by, layerBy, join, mitreLimit, lines },
        };
        command.Validators.Add(result =>
        {
            if (result.GetResult(by) is null && result.GetResult(layerBy) is null)
            {
                result.AddError("no distance is given: use '--by' for all layers or '--layer-by' for one");
            }
        });
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            BuildSettings chosen = settings.Read(result, context);
            Job job = chosen.Job;
            ImmutableArray<LayerOffset> offsets =
            [
                .. (result.GetValue(layerBy) ?? []).Select(text => Split(text)!.Value).Select(pair => new LayerOffset(pair.Layer, pair.Length.In(Unit.Nanometre))),
                .. result.GetValue(by) is { } all ? [new LayerOffset(null, all.In(Unit.Nanometre))] : Array.Empty<LayerOffset>(),
            ];
            var options = new OffsetOptions
            {
                Offsets = offsets,
                Join = join.In(result),
                MitreLimit = result.GetValue(mitreLimit) ?? new OffsetOptions().MitreLimit,
                LineEnds = lines.In(result, null),
                ChordErrorNanometres = job.ChordErrorNanometres,
            };
            LayoutDocument layout;
            using (InputStream source = context.Open(result.GetRequiredValue(input)))
            {
                layout = drawing.Read(source, job, result, context);
            }

            LayoutDocument moved = context.Stages(chosen).Offset(layout, options);
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output));
            LayoutWriter.Write(moved, file.Stream);
            file.Commit();
            return ExitCode.Done;
        });
    }

    private static Option<string[]> CreateLayerOption()
    {
        var option = new Option<string[]>("--layer-by")
        {
            Description = "Move the edges of one layer, such as \"pads=-20 nm\"; may be given several times and overrides --by.",
            HelpName = "LAYER=LENGTH",
        };
        option.Validators.Add(result =>
        {
            foreach (var token in result.Tokens.Where(token => Split(token.Value) is null))
            {
                result.AddError($"option '--layer-by' takes LAYER=LENGTH, not '{token.Value}'; write for example \"pads=-20 nm\"");
            }
        });
        return option;
    }

    private static (string Layer, Quantity Length)? Split(string text)
    {
        int sign = text.LastIndexOf('=');
        return sign > 0 && Quantity.TryParse(text[(sign + 1)..], [Dimension.Length], out Quantity length, out _)
            ? (text[..sign].Trim(), length)
            : null;
    }
}
