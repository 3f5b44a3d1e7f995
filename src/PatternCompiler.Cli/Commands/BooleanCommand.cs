using System.Collections.Immutable;
using System.CommandLine;
using System.CommandLine.Parsing;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Operations;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Boolean;

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
        Option<string> output = FileOption.CreateOutput("layout", "Write the layout to FILE.");
        var keep = new Option<bool>("--keep-other-layers") { Description = "Layers that are no result stay in the output, merged." };
        Option<string[]> areas = CreateAreas();
        Option<string[]> beside = CreateBeside();
        Option<string[]>[] operations = [.. Operations.Select(operation => CreateOperation(operation.Name))];
        var drawing = new DrawingArguments();
        var settings = new SettingsOptions(SettingsNeed.None, SettingOverride.Grid(), SettingOverride.ChordError());
        var command = new PatternCommand("boolean", "Combine the areas of layers, or merge overlaps within each layer.")
        {
            Details = "Without an operation every layer is merged by itself, so that an area drawn twice is written once. Otherwise each operation takes a result and two layers; they run in the order union, intersection, difference, xor, area, and each sees the results of those before it. Geometry is exact on the layout's grid.",
            Examples =
            [
                new("patternc boolean chip.layout -o merged.layout", "merges the overlaps of each layer"),
                new("patternc boolean chip.dxf --difference \"open=pads,vias\" -o open.layout", "what is on pads and not on vias"),
                new("patternc boolean chip.dxf --area \"bare=frame 5 um around pads without (pads with vias)\"", "the opposite tone within a frame"),
                new("patternc boolean old.dxf --beside \"new-=new.dxf\" --xor \"changed=pads,new-pads\"", "where two drawings differ"),
            ],
            Arguments = { input },
            Options = { output, keep },
        };
        foreach (Option<string[]> operation in operations)
        {
            command.Options.Add(operation);
        }

        command.Options.Add(areas);
        command.Options.Add(beside);
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            BuildSettings chosen = settings.Read(result, context);
            ImmutableArray<LayerOperation> combinations =
            [
                .. Operations.Zip(operations).SelectMany(pair =>
                    (result.GetValue(pair.Second) ?? []).Select(text => ToOperation(text, pair.First.Operation))),
            ];
            ImmutableArray<AreaOperation> described = [.. (result.GetValue(areas) ?? []).Select(text => AreaOperation.Parse(text, "--area")!)];
            LayoutDocument layout = ReadAll(result.GetRequiredValue(input), result.GetValue(beside) ?? [], drawing, chosen.Job, result, context);
            bool keepsAll = result.GetValue(keep) || (combinations.IsEmpty && described.IsEmpty);
            ImmutableArray<string> results = [.. combinations.Select(operation => operation.Result), .. described.Select(operation => operation.Layer)];
            ImmutableArray<string> wanted = [.. layout.Layers.Where(_ => keepsAll).Union(results, StringComparer.Ordinal)];

            var options = new BooleanOptions { Operations = combinations, KeepOtherLayers = keepsAll || !described.IsEmpty };
            LayoutDocument combined = context.Stages(chosen).Combine(layout, options);
            if (!described.IsEmpty)
            {
                combined = context.Stages(chosen with { Job = chosen.Job with { Operations = described, Write = wanted } }).Operate(combined);
            }

            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output));
            LayoutWriter.Write(combined, file.Stream);
            file.Commit();
            return ExitCode.Done;
        });
    }

    /// <summary>The drawing, and the layers of those beside it under names of their own.</summary>
    private static LayoutDocument ReadAll(string input, string[] beside, DrawingArguments drawing, Job job, ParseResult result, CommandContext context)
    {
        var drawings = new List<(LayoutDocument Layout, JobSource Source)>();
        foreach (string[] named in beside.Select(text => text.Split('=', 2, StringSplitOptions.TrimEntries)).Prepend(["", input]))
        {
            using InputStream source = context.Open(named[1]);
            drawings.Add((drawing.Read(source, job, result, context), new JobSource(named[1]) { Placement = new SourcePlacement { LayerPrefix = named[0] } }));
        }

        return SourceAssembly.Run(drawings);
    }

    private static Option<string[]> CreateAreas()
    {
        var option = new Option<string[]>("--area")
        {
            Description = "Layer R becomes an area in the words of a job file: with, without, inside, xor, grown by, shrunk by, rectangle, frame, brackets.",
            HelpName = "R=AREA",
        };
        option.Validators.Add(result => RequireSides(result, "--area", "RESULT=AREA"));
        return option;
    }

    private static Option<string[]> CreateBeside()
    {
        var option = new Option<string[]>("--beside")
        {
            Description = "The layers of another drawing take part, too, with PREFIX before their names.",
            HelpName = "PREFIX=FILE",
        };
        option.Validators.Add(result => RequireSides(result, "--beside", "PREFIX=FILE"));
        return option;
    }

    private static void RequireSides(OptionResult result, string option, string form)
    {
        foreach (var token in result.Tokens)
        {
            if (token.Value.Split('=', 2, StringSplitOptions.TrimEntries) is not [{ Length: > 0 }, { Length: > 0 }])
            {
                result.AddError($"option '{option}' takes {form}, not '{token.Value}'");
            }
        }
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
