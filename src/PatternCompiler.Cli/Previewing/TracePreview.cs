using PatternCompiler.Cli.Settings;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction.Waveforms;

namespace PatternCompiler.Cli.Previewing;

/// <summary>A picture of what records do to the lines of a controller.</summary>
internal static class TracePreview
{
    /// <summary>Samples and composes.</summary>
    /// <param name="source">The records, open, with the settings that hold.</param>
    /// <param name="name">Their name.</param>
    /// <param name="window">What to show.</param>
    /// <param name="hasMachine">Somebody has named the machine, whose settling and blanker are followed.</param>
    /// <param name="check">Refuses records of another machine.</param>
    /// <param name="options">Title and size.</param>
    public static WaveformPicture Compose(CompiledInput source, string name, TraceWindow window, bool hasMachine, OriginCheck check, PictureOptions options)
    {
        if (source.Document.Kind != DocumentKind.Records && source.Document.Kind != DocumentKind.Stream)
        {
            throw TraceOptions.Wrong("--traces draws a stream or records, and this is another document", "compile it first, for example with 'patternc build'");
        }

        Machine? machine = hasMachine ? source.Settings.Machine : null;
        var sampler = new WaveformSampler(name, window, machine);
        IDocumentSink<RecordsHeader, DeflectionRecord> sink = hasMachine ? check.RecordsOfMachine(name, sampler) : sampler;
        source.Pipeline.ReadRecords(source.Document, sink);
        return WaveformPicture.Of(sampler.ToWaveforms(), options, []);
    }
}
