using System.Collections.Immutable;
using System.CommandLine;
using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Looks;
using PatternCompiler.Measure.Micrographs;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc locate</c>: marks of the layer below in what a look has given.</summary>
internal static class LocateCommand
{
    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Table of the detector's samples, one a point; left out with --picture.");
        Option<string[]> pictures = new("--picture") { Description = "MARK=FILE: the window of a mark as the microscope recorded it; once for each mark.", HelpName = "MARK=FILE" };
        Option<string> output = FileOption.CreateOutput(_ => new OutputChoice([FileContent.Table]), "Write the table to FILE.");
        var settings = new SettingsOptions(SettingsNeed.All);
        var command = new PatternCommand("locate", "Find marks of the layer below in what a look at them has given.")
        {
            Details = "Samples: a table with a column 'sample', one line for each point of the look in its order; as many as points, or nothing is measured. Pictures: what the microscope has recorded of each window (PNG, JPEG, TIFF, .npy); a picture covers its window from edge to edge. "
                + "The picture of each window is measured as 'patternc measure' does it: the middle of the cross, by all of its edges. A mark that its picture does not show stays in the table without a place, and the reason is told. The job is the one that the look was made with.",
            Examples =
            [
                new("patternc locate samples.csv --job look.yaml -o marks.csv", "marks from the samples of a detector, for 'patternc fit alignment'"),
                new("patternc locate --picture SW=sw.tif --picture NE=ne.tif --job look.yaml -o marks.csv", "marks from micrographs"),
            ],
            Arguments = { input },
            Options = { pictures, output },
        };
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            BuildSettings chosen = settings.Read(result, context);
            string[] named = result.GetValue(pictures) ?? [];
            if (named.Length > 0 && result.GetResult(input) is { Tokens.Count: > 0 })
            {
                throw Wrong("marks are looked for in samples or in pictures, not in both", "name the table of samples, or --picture MARK=FILE for each mark");
            }

            LookPlan plan = LookPlan.Of(chosen, new BuildFiles(context), context.Sink, context.Cancellation);
            ImmutableArray<(Micrograph, string)?> seen = named.Length == 0 ? FromSamples(plan.Look, result.GetRequiredValue(input), context) : FromPictures(plan.Look, named, context);
            string table = MarkSearch.Table(plan, seen, chosen.Job.Limits, context.Sink, context.Cancellation);
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output));
            file.Stream.Write(Encoding.UTF8.GetBytes(table));
            file.Commit();
            return ExitCode.Done;
        });
    }

    private static ImmutableArray<(Micrograph, string)?> FromSamples(LookSettings look, string name, CommandContext context)
    {
        using InputStream source = context.Open(name);
        return [.. LookSamples.PicturesOf(look, MeasurementTable.Read(source, source.Name), source.Name).Select(picture => ((Micrograph, string)?)(picture, source.Name))];
    }

    private static ImmutableArray<(Micrograph, string)?> FromPictures(LookSettings look, string[] named, CommandContext context)
    {
        var files = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (string pair in named)
        {
            int split = pair.IndexOf('=', StringComparison.Ordinal);
            string mark = split < 0 ? "" : pair[..split];
            if (split < 0 || look.Marks.All(other => other.Name != mark) || !files.TryAdd(mark, pair[(split + 1)..]))
            {
                throw Wrong(
                    split < 0 ? $"--picture takes MARK=FILE, not '{pair}'" : files.ContainsKey(mark) ? $"mark '{mark}' has two pictures" : $"the job looks at no mark '{mark}'",
                    $"its marks are {string.Join(", ", look.Marks.Select(other => other.Name))}");
            }
        }

        return [.. look.Marks.Select(mark => files.TryGetValue(mark.Name, out string? file) ? Read(file) : ((Micrograph, string)?)null)];

        (Micrograph, string)? Read(string file)
        {
            using InputStream source = context.Open(file);
            return (MicrographReader.Read(source, source.Name, context.Cancellation), source.Name);
        }
    }

    private static CompileException Wrong(string message, string fix) => new(CommandCodes.WrongUsage, message, new SourcePlace("patternc locate"), fix);
}
