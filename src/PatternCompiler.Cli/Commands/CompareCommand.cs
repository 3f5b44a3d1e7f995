using System.CommandLine;
using System.Text;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Comparing;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Manual;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Cli.Simulating;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Geometry;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction.Compare;
using PatternCompiler.Reports;
using PatternCompiler.Reports.Html;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc compare</c>: two documents, or two folders of them.</summary>
internal sealed class CompareCommand
{
    private const int Same = 0;
    private const int Different = 1;
    private const int Trouble = 2;

    private readonly Argument<string> first = CreateArgument("first", "The document or folder that is expected.");
    private readonly Argument<string> second = CreateArgument("second", "The document or folder that is there.");
    private readonly Option<string> output = FileOption.CreateOutput(OutputChoice.TextOrJson, "Write the report to FILE.");
    private readonly Option<bool> ignoreOrder = new("--ignore-order") { Description = "The same items in another order count as the same." };
    private readonly Option<Quantity?> tolerance = QuantityOption.CreatePositive("--tolerance", "Edges of layouts and figures may be shifted so far.", Dimension.Length);
    private readonly Option<double?> doseTolerance = NumberOption.CreateReal("--dose-tolerance", "The exposure of a cell may differ by this part of a mean exposed cell, such as 0.01.", 1e-9, 100);
    private readonly Option<Quantity?> cell = QuantityOption.CreateWithin(
        "--cell", "Side of the cells in which exposures are added up; 100 nm if absent.", new(1, Unit.Nanometre), new(1e6, Unit.Nanometre));
    private readonly Option<string> picture = FileOption.CreateWritten("--picture", _ => OutputChoice.ByName("png", "svg"), "Draw where the two documents differ, as PNG or SVG by the name.");
    private readonly Option<string> report = FileOption.CreateWritten("--report", _ => OutputChoice.Of("html"), "Write what is compared as one HTML file: every file with its state, and both pictures with the difference of the first 12 that differ.");
    private readonly Option<bool> print = new("--print") { Description = "Compare what two documents of any kind would print: areas and moved edges after development." };
    private readonly Option<Quantity?> pixel = PrintSimulation.PixelOption("Pixel of that prediction; 5 nm if absent.");
    private readonly Option<bool> json = new("--json") { Description = "One JSON object instead of a table; names end in their unit and never change." };
    private readonly Option<bool> accept = new("--accept") { Description = "For two folders: take new and different files over into the first." };
    private readonly Option<bool> acceptRemovals = new("--accept-removals") { Description = "As --accept, and remove from the first what the second no longer has." };
    private readonly DrawingArguments drawing = new();
    private readonly SettingsOptions settings = new(SettingsNeed.All, SettingOverride.Grid(), SettingOverride.ChordError()) { Judges = true };

    public static PatternCommand Create() => new CompareCommand().Command();

    private PatternCommand Command()
    {
        var command = new PatternCommand("compare", "Compare two documents, streams or folders: what differs, where and by how much.")
        {
            Details = "Layouts are compared by what they cover; figures, strokes, records and streams item by item, and by the area, charge or beam-on time that they put where; of two provenance files, every input, setting and result in which they differ is listed. With --print, what machine and process would make of them is compared instead, whatever their kind. Files of two folders that are no documents, and pictures, are compared byte by byte. The exit code is 0 if the two count as the same (after --accept: are the same now), 1 if they differ, 2 or more if they cannot be compared.",
            Examples =
            [
                new("patternc compare golden.stream new.stream --dose-tolerance 0.01", "the same exposure within 1 %?"),
                new("patternc compare chip.dxf chip.layout --tolerance \"1 nm\" --picture difference.png", "the same areas within 1 nm? And a picture of where not"),
                new("patternc compare old.stream new.stream --print --job job.yaml --tolerance \"2 nm\"", "would the resist show a difference above 2 nm?"),
                new("patternc compare golden.stream new.stream --picture difference.png", "where the one exposes more, and where the other"),
                new("patternc compare march.json may.json", "what has changed between two builds, by their --provenance files"),
                new("patternc compare golden out --report changes.html", "a page of all files, with pictures of what has changed"),
                new("patternc compare golden out --accept", "takes new outputs over as the expected ones, after somebody has looked"),
            ],
            ExitCodes =
            [
                new(Same, "the two count as the same; after --accept, they do now"),
                new(Different, "they differ"),
                new(Trouble, "they cannot be compared, or the command line is wrong"),
                .. ExitCodeMeaning.Usual.Where(code => code.Code is ExitCode.InputOutput or ExitCode.Defect or ExitCode.Interrupted),
            ],
            Arguments = { first, second },
            Options = { output, ignoreOrder, tolerance, doseTolerance, cell, picture, report, print, pixel, json, accept, acceptRemovals },
        };
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs(Run);
    }

    private int Run(ParseResult result, CommandContext context)
    {
        bool byPrint = result.GetValue(print);
        BuildSettings chosen = settings.Read(result, context, byPrint ? SettingsNeed.All : SettingsNeed.None);
        Job job = chosen.Job;
        var options = new CompareOptions
        {
            IgnoresOrder = result.GetValue(ignoreOrder),
            EdgeToleranceNanometres = result.GetValue(tolerance)?.In(Unit.Nanometre) ?? 0,
            DoseTolerance = result.GetValue(doseTolerance) ?? 0,
            CellNanometres = result.GetValue(cell)?.In(Unit.Nanometre) ?? 100,
        };
        double pixelNanometres = result.GetValue(pixel)?.In(Unit.Nanometre) ?? PrintSimulation.UsualPixelNanometres;
        LayoutDocument ReadDrawing(InputStream input) => drawing.Read(input, job, result, context);
        var pair = new DocumentPair(
            context,
            input => context.Stages(chosen).Flatten(ReadDrawing(input)),
            job.Limits,
            byPrint ? new PrintedOutlines(name => CompiledInput.Open(name, result, settings, drawing, SettingsNeed.All, context), pixelNanometres, context) : null);
        string a = result.GetRequiredValue(first);
        string b = result.GetRequiredValue(second);
        try
        {
            Acceptance acceptance = result.GetValue(acceptRemovals) ? Acceptance.WithRemovals : result.GetValue(accept) ? Acceptance.Changes : Acceptance.Nothing;
            if (FileSystem.FolderExists(a) && FileSystem.FolderExists(b))
            {
                return result.GetValue(picture) is null
                    ? Folders(a, b, pair, options, acceptance, result, context)
                    : throw WrongUsage("--picture shows two documents, not two folders", "name the two documents");
            }

            if (!byPrint && result.GetValue(pixel) is not null)
            {
                throw WrongUsage("--pixel belongs to a prediction", "add --print");
            }

            if (acceptance != Acceptance.Nothing)
            {
                throw WrongUsage("--accept needs two folders", "name the folder of expected files, then that of new ones");
            }

            foreach (Option<string> drawn in new[] { picture, report })
            {
                if (result.GetValue(drawn) is not null && (a == InputFile.StandardName || b == InputFile.StandardName))
                {
                    throw WrongUsage($"{drawn.Name} needs two files: standard input can be read only once", "save the document first");
                }
            }

            DocumentComparison? comparison = pair.Compare(a, b, options);
            WriteReport(comparison, options, result.GetRequiredValue(output), result.GetValue(json), context);
            if (result.GetValue(picture) is { } name)
            {
                PictureFile.Write(name, pair.Picture(a, b), context);
            }

            bool same = comparison is null || comparison.AreEqual(options);
            if (result.GetValue(report) is not null)
            {
                var file = new FileComparison(Path.GetFileName(b), same ? FileOutcome.Same : FileOutcome.Different, comparison);
                WritePage(FolderPage.Of(a, b, new FolderComparison([file]), _ => (a, b), pair), result, context);
            }

            return same ? Same : Different;
        }
        catch (CompileException failure) when (failure.Diagnostic.Code.Kind == DiagnosticKind.Input)
        {
            // 1 says that the two differ; a document that cannot be read is another matter.
            context.Messages.Report(failure.Diagnostic);
            return Trouble;
        }
    }

    private static Argument<string> CreateArgument(string name, string description)
    {
        return new InputFileArgument(name) { Description = description };
    }

    private static void WriteReport(DocumentComparison? comparison, CompareOptions options, string name, bool asJson, CommandContext context)
    {
        using OutputFile file = context.Outputs.Create(name);
        if (asJson)
        {
            ComparisonJson.Write(comparison, options, file.Stream);
        }
        else if (comparison is not null)
        {
            file.Stream.Write(Encoding.UTF8.GetBytes(ComparisonReport.Text(comparison)));
        }

        file.Commit();
    }

    private void WritePage(ComparisonContent content, ParseResult result, CommandContext context)
    {
        using OutputFile file = context.Outputs.Create(result.GetRequiredValue(report));
        ComparisonPage.Write(content, file.Stream);
        file.Commit();
    }

    private int Folders(string first, string second, DocumentPair pair, CompareOptions options, Acceptance acceptance, ParseResult result, CommandContext context)
    {
        if (acceptance != Acceptance.Nothing && FolderPair.Overlap(first, second))
        {
            throw WrongUsage($"'{first}' and '{second}' share files", "name two separate folders");
        }

        FolderComparison comparison = FolderComparison.Of(first, second, pair, options);

        // Before anything is accepted: what differs is gone then.
        if (result.GetValue(report) is not null)
        {
            WritePage(FolderPage.Of(first, second, comparison, name => (Path.Combine(first, name), Path.Combine(second, name)), pair), result, context);
        }

        string[] accepted = [];
        string[] removed = [];
        bool isReadable = comparison.Count(FileOutcome.Unreadable) == 0;
        if (acceptance != Acceptance.Nothing && isReadable)
        {
            var expected = new ExpectedFiles(first, context);
            accepted = [.. comparison.Names(FileOutcome.New).Concat(comparison.Names(FileOutcome.Different)).Order(StringComparer.Ordinal)];
            expected.Take(accepted, second);
            if (acceptance == Acceptance.WithRemovals)
            {
                removed = [.. comparison.Names(FileOutcome.Missing)];
                expected.Remove(removed);
            }
        }

        using (OutputFile file = context.Outputs.Create(result.GetRequiredValue(output)))
        {
            if (result.GetValue(json))
            {
                FolderJson.Write(comparison, accepted, removed, file.Stream);
            }
            else
            {
                file.Stream.Write(Encoding.UTF8.GetBytes(FolderReport.Text(comparison)));
            }

            file.Commit();
        }

        context.Messages.Say(FolderReport.Totals(comparison));
        Tell(accepted, "accepted", context);
        Tell(removed, "removed", context);
        if (!isReadable)
        {
            if (acceptance != Acceptance.Nothing)
            {
                context.Messages.Say("nothing accepted: see what cannot be compared");
            }

            return Trouble;
        }

        if (acceptance == Acceptance.Nothing)
        {
            return comparison.Files.All(file => file.Outcome == FileOutcome.Same) ? Same : Different;
        }

        string[] kept = [.. comparison.Names(FileOutcome.Missing).Except(removed)];
        Tell(kept, "kept, though it is no longer made (see --accept-removals)", context);
        return kept.Length == 0 ? Same : Different;
    }

    private static void Tell(string[] names, string what, CommandContext context)
    {
        foreach (string name in names)
        {
            context.Messages.Say($"{what}: {name}");
        }
    }

    private static CompileException WrongUsage(string message, string fix) =>
        new(CommandCodes.WrongUsage, message, new SourcePlace("patternc compare"), fix);

    private enum Acceptance
    {
        Nothing,
        Changes,
        WithRemovals,
    }
}
