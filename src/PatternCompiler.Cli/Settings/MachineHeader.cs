using PatternCompiler.Jobs;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Cli.Settings;

/// <summary>The header that records of a machine have: asked from the scaling pass itself, so that it cannot differ.</summary>
internal sealed class MachineHeader : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private RecordsHeader? header;

    /// <summary>Header of the records that scaling makes with these settings.</summary>
    public static RecordsHeader Of(BuildSettings settings)
    {
        var capture = new MachineHeader();
        new ScalePass(StageOptions.Scale(settings.Job, settings.Machine), capture).Begin(new StrokesHeader([]));
        return capture.header!;
    }

    public void Begin(RecordsHeader header) => this.header = header;

    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
    }

    public void End()
    {
    }
}
