using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Cli.Simulating;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Report;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Pictures;
using PatternCompiler.Reports;
using PatternCompiler.Reports.Html;
using PatternCompiler.Reports.Player;

namespace PatternCompiler.Cli.Previewing;

/// <summary>What <c>preview</c> does for a page: compiles what the document lacks up to records, and plays these.</summary>
internal sealed class PlayerPreview(SettingsOptions settings, DrawingArguments drawing, ParseResult result, CommandContext context)
{
    private const long MostRecords = 2_000_000;
    private const int MostFigures = 200_000;

    // As wide as the page sets it, so that its letters keep their size.
    private const int StillWidth = 560;

    /// <summary>True if a name asks for a page.</summary>
    public static bool IsPage(string name) =>
        name.EndsWith(".html", StringComparison.OrdinalIgnoreCase) || name.EndsWith(".htm", StringComparison.OrdinalIgnoreCase);

    /// <summary>Writes the page.</summary>
    /// <param name="input">Name of the document.</param>
    /// <param name="output">Name of the page.</param>
    /// <param name="title">Its title; the document's name if absent.</param>
    /// <param name="window">Where the print is predicted; null for where most edges lie.</param>
    public void Write(string input, string output, string? title, PictureWindow? window)
    {
        // Records are known without a machine; where one is named they get their charge and waits for the link.
        SettingsNeed need = settings.NamesMachine(result) ? SettingsNeed.All : SettingsNeed.None;
        using CompiledInput source = CompiledInput.Open(input, result, settings, drawing, need, context, needOfEarlier: SettingsNeed.All);
        bool isRecords = source.Document.Kind is DocumentKind.Records or DocumentKind.Stream;
        string name = title ?? (input == InputFile.StandardName ? "pattern" : Path.GetFileName(input));
        var options = new PictureOptions { Title = name, IsBare = true, WidthPixels = StillWidth };
        var watcher = new PlayerWatcher(isRecords && need == SettingsNeed.None ? null : source.Settings, MostRecords, MostFigures);
        var picture = new RecordsPicture(options);
        var still = new StillWatcher();
        PrintWatcher? print = null;
        if (isRecords && need == SettingsNeed.None)
        {
            if (window is not null)
            {
                throw TraceOptions.Wrong("--window names the part of a page where the print is predicted, and a stream alone does not tell how it was made", "name its machine and process, or its job with --job");
            }

            source.Pipeline.ReadRecords(source.Document, new Model.FanOut<Model.Records.RecordsHeader, Model.Records.DeflectionRecord>([watcher.Columns, picture]));
        }
        else
        {
            print = PrintOf(source.Settings, window);
            source.Pipeline.Run(source.Document, [watcher, still, .. print is null ? (ExposureWatcher[])[] : [print], new SinkWatcher(null, picture)]);
        }

        Scene scene = still.Plan is { } plan ? FieldPlanPicture.Compose(plan, [], options)
            : still.Seen is { } figures ? FiguresPicture.Compose(figures, options)
            : picture.Compose();
        PlayerDocument document = watcher.ToDocument(name, source.Pipeline.Places, context.Sink.Collected) with { Print = print?.ToPrint(context.Cancellation) };
        using OutputFile file = context.Outputs.Create(output, isBinary: false);
        PlayerPage.Write(document, new ReportPicture("Everything", "The same, standing still.", scene.Facts, scene), VersionAction.Version, file.Stream);
        file.Commit();
    }

    /// <summary>Predicts the print where the settings tell how: with a process that is named, or for a part that is asked for.</summary>
    private PrintWatcher? PrintOf(BuildSettings chosen, PictureWindow? window)
    {
        bool isNamed = settings.NamesProcess(result) || chosen.Job.ProcessPath is not null;
        if (window is not null)
        {
            _ = PrintSimulation.Options(chosen);
        }

        return chosen.Process.Spread is null || window is null && !isNamed ? null : new PrintWatcher(chosen, PrintSimulation.Square(window));
    }

    /// <summary>Keeps what the picture beside is made of.</summary>
    private sealed class StillWatcher : ExposureWatcher
    {
        public FieldPlan? Plan { get; private set; }

        public FiguresDocument? Seen { get; private set; }

        public override void See(FieldPlan plan) => Plan = plan;

        public override void See(FiguresDocument figures) => Seen = figures;
    }
}
