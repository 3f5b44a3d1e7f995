using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Oracles.Lab;

/// <summary>The bytes that the compiler makes of a job whose files lie in a folder.</summary>
internal static class CompiledExposure
{
    public static byte[] Of(string jobPath) => Of(BuildSettings.Read(JobFile.Read(jobPath)));

    public static byte[] Of(BuildSettings settings)
    {
        using var stream = new MemoryStream();
        new Pipeline(settings, new DiskFiles(), new DiagnosticSink(), CancellationToken.None).Run(PipelineInput.Drawings, [new StreamBytes(stream)]);
        return stream.ToArray();
    }

    private sealed class StreamBytes(Stream output) : ExposureWatcher, IDocumentSink<RecordsHeader, DeflectionRecord>
    {
        private ExposureStreamWriter? writer;

        public override IDocumentSink<RecordsHeader, DeflectionRecord>? Records => this;

        public void Begin(RecordsHeader header)
        {
            writer = new ExposureStreamWriter(output, StreamProfile.Lines);
            writer.Begin(header);
        }

        public void Write(ReadOnlySpan<DeflectionRecord> items) => writer!.Write(items);

        public void End() => writer!.End();
    }
}
