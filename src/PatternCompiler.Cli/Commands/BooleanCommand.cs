using System.Collections.Immutable;
using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Jobs;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Boolean;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc boolean</c>: set operations between layers.</summary>
internal static class BooleanCommand
{
    private static readonly (string Name, BooleanOperation Operation)[] Operations =
    [
        ("union", BooleanOperation.Union),
        ("intersection", BooleanOperation.Intersection),
        ("difference", BooleanOperation.Difference),
        ("xor", BooleanOperation.SymmetricDifference),
    ];

    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Drawing.");
        Option<string> output = FileOption.CreateOutput("Write the layout to FILE.");
        var keep = new Option<bool>("--keep-other-layers") { Description = "Layers that are no result stay in the output, merged." };
        Option<string[]>[] operations = [.. Operations.Select(operation => CreateOperation(operation.Name))];
        var drawing = new DrawingArguments();
        var settings = new SettingsOptions(SettingsNeed.None, SettingOverride.Grid(), SettingOverride.ChordError());
        var command = new PatternCommand("boolean", "Combine the areas of layers, or merge overlaps within each layer.")
        {
            Details = "Without an operation every layer is merged by itself, so that an area drawn twice is written once. Otherwise each operation takes a result and two layers; they run in the order union, intersection, difference, xor, and each sees the results of those before it. Geometry is exact on the layout's grid.",
            Examples =
            [
                new("patternc boolean chip.layout -o merged.layout", "merges the overlaps of each layer"),
                new("patternc boolean chip.dxf --difference \"open=pads,vias\" -o open.layout", "what is on pads and not on vias"),
            ],
            Arguments = { input },
            Options = { output, keep },
        };
        foreach (Option<string[]> operation in operations)
        {
            command.Options.Add(operation);
        }

        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            BuildSettings chosen = settings.Read(result, context);
            var options = new BooleanOptions
            {
                Operations = [.. Operations.Zip(operations).SelectMany(pair =>
                    (result.GetValue(pair.Second) ?? []).Select(text => ToOperation(text, pair.First.Operation)))],
                KeepOtherLayers = result.GetValue(keep),
            };
            LayoutDocument layout;
            using (InputStream source = context.Open(result.GetRequiredValue(input)))
            {
                layout = drawing.Read(source, chosen.Job, result, context);
            }

            FlatLayout flat = FlattenPass.Run(layout, StageOptions.Flatten(chosen.Job), context.Sink, context.Cancellation);
            LayoutDocument combined = BooleanPass.Run(flat, options, context.Sink, context.Cancellation);
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output));
            LayoutWriter.Write(combined, file.Stream);
            file.Commit();
            return ExitCode.Done;
        });
    }

    private static Option<string[]> CreateOperation(string name)
    {
        var option = new Option<string[]>("--" + name) { Description = $"The {name} of layers A and B becomes layer R.", HelpName = "R=A,B" };
        option.Validators.Add(result =>
        {
            foreach (var token in result.Tokens)
            {
                if (Split(token.Value) is null)
                {
                    result.AddError($"option '--{name}' takes RESULT=FIRST,SECOND, not '{token.Value}'");
                }
            }
        });
        return option;
    }

    private static LayerOperation ToOperation(string text, BooleanOperation operation)
    {
        (string result, string first, string second) = Split(text)!.Value;
        return new LayerOperation(result, operation, first, second);
    }

    private static (string Result, string First, string Second)? Split(string text)
    {
        string[] sides = text.Split('=', 2, StringSplitOptions.TrimEntries);
        string[] layers = sides.Length == 2 ? sides[1].Split(',', StringSplitOptions.TrimEntries) : [];
        return layers.Length == 2 && sides[0].Length > 0 && layers[0].Length > 0 && layers[1].Length > 0 ? (sides[0], layers[0], layers[1]) : null;
    }
}
