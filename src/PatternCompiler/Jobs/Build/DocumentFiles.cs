using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Jobs.Build;

/// <summary>Writes the documents of a build as they pass: those that the job keeps, and its outputs; one set a write field.</summary>
internal sealed class DocumentFiles : ExposureWatcher
{
    private readonly BuildSettings settings;
    private readonly BuildOutputs outputs;
    private readonly DiagnosticSink sink;
    private readonly List<IDocumentSink<RecordsHeader, DeflectionRecord>> records = [];
    private IDocumentSink<StrokesHeader, Stroke>? strokes;

    /// <summary>Prepares the files of a build.</summary>
    /// <exception cref="CompileException">Several write fields would go to standard output.</exception>
    public DocumentFiles(BuildSettings settings, BuildOutputs outputs, DiagnosticSink sink)
    {
        this.sink = sink;
        this.settings = settings;
        this.outputs = outputs;
        const string StandardOutput = "-";
        Job job = settings.Job;
        if (job.Fields is not null && job.Outputs.Select(output => output.Path).Concat([job.Keep.Strokes, job.Keep.Records]).Contains(StandardOutput))
        {
            throw new CompileException(
                FieldCodes.BadSetting,
                "the write fields of a job cannot all go to standard output",
                fix: "name a file, which every field gets with its own name added, or use 'patternc split --field'");
        }
    }

    /// <inheritdoc/>
    public override void See(LayoutDocument layout)
    {
        if (settings.Job.Keep.Layout is string path)
        {
            LayoutWriter.Write(layout, outputs.Create(path, "layout", isBinary: false));
        }
    }

    /// <inheritdoc/>
    public override IDocumentSink<FiguresHeader, Figure>? Figures
    {
        get
        {
            if (settings.Job.Keep.Figures is not string path)
            {
                return null;
            }

            Stream stream = outputs.Create(path, "figures", settings.Job.Keep.Binary);
            return settings.Job.Keep.Binary ? new FiguresBinaryWriter(stream) : new FiguresTextWriter(stream);
        }
    }

    /// <inheritdoc/>
    public override IDocumentSink<StrokesHeader, Stroke>? Strokes => strokes;

    /// <inheritdoc/>
    public override IDocumentSink<RecordsHeader, DeflectionRecord>? Records =>
        records.Count == 0 ? null : new FanOut<RecordsHeader, DeflectionRecord>([.. records]);

    /// <inheritdoc/>
    public override void Begin(StagePosition position)
    {
        KeptDocuments keep = settings.Job.Keep;
        strokes = null;
        records.Clear();
        if (keep.Strokes is string strokesPath)
        {
            Stream stream = Create(strokesPath, "strokes", keep.Binary);
            strokes = keep.Binary ? new StrokesBinaryWriter(stream) : new StrokesTextWriter(stream);
        }

        if (keep.Records is string recordsPath)
        {
            Stream stream = Create(recordsPath, "records", keep.Binary);
            records.Add(keep.Binary ? new RecordsBinaryWriter(stream) : new RecordsTextWriter(stream));
        }

        foreach (JobOutput output in settings.Job.Outputs)
        {
            Stream stream = Create(output.Path, output.Format.ToString().ToLowerInvariant(), OutputFormats.IsBinary(output.Format));
            records.Add(OutputFormats.Create(output.Format, stream, settings.Machine, sink));
        }

        Stream Create(string path, string content, bool isBinary) =>
            outputs.Create(position.Field is WriteField field ? FieldNames.Of(path, field) : path, content, isBinary);
    }
}
