using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Cli.Settings;
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

    /// <summary>True if a name asks for a page.</summary>
    public static bool IsPage(string name) =>
        name.EndsWith(".html", StringComparison.OrdinalIgnoreCase) || name.EndsWith(".htm", StringComparison.OrdinalIgnoreCase);

    /// <summary>Writes the page.</summary>
    /// <param name="input">Name of the document.</param>
    /// <param name="output">Name of the page.</param>
    /// <param name="title">Its title; the document's name if absent.</param>
    /// <param name="isPart">Options ask for what a page does not show.</param>
    public void Write(string input, string output, string? title, bool isPart)
    {
        if (isPart)
        {
            throw TraceOptions.Wrong("a page plays the whole pattern", "leave out --traces, --strays and --window, or draw a picture as SVG or PNG");
        }

        // Records are known without a machine; where one is named they get their charge and waits for the link.
        SettingsNeed need = settings.NamesMachine(result) ? SettingsNeed.All : SettingsNeed.None;
        using CompiledInput source = CompiledInput.Open(input, result, settings, drawing, need, context, needOfEarlier: SettingsNeed.All);
        bool isRecords = source.Document.Kind is DocumentKind.Records or DocumentKind.Stream;
        string name = title ?? (input == InputFile.StandardName ? "pattern" : Path.GetFileName(input));
        var options = new PictureOptions { Title = name, IsBare = true };
        var watcher = new PlayerWatcher(isRecords && need == SettingsNeed.None ? null : source.Settings, MostRecords, MostFigures);
        var picture = new RecordsPicture(options);
        var still = new StillWatcher();
        if (isRecords && need == SettingsNeed.None)
        {
            source.Pipeline.ReadRecords(source.Document, new Model.FanOut<Model.Records.RecordsHeader, Model.Records.DeflectionRecord>([watcher.Columns, picture]));
        }
        else
        {
            source.Pipeline.Run(source.Document, [watcher, still, new SinkWatcher(null, picture)]);
        }

        Scene scene = still.Plan is { } plan ? FieldPlanPicture.Compose(plan, [], options)
            : still.Seen is { } figures ? FiguresPicture.Compose(figures, options)
            : picture.Compose();
        PlayerDocument document = watcher.ToDocument(name, source.Pipeline.Places, context.Sink.Collected);
        using OutputFile file = context.Outputs.Create(output, isBinary: false);
        PlayerPage.Write(document, new ReportPicture("Everything", "The same, standing still.", scene.Facts, scene), VersionAction.Version, file.Stream);
        file.Commit();
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
