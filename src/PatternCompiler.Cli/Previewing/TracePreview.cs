using System.Collections.Immutable;
using System.Text;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction.Waveforms;

namespace PatternCompiler.Cli.Previewing;

/// <summary>A picture of what records do to the lines of a controller, and how measured traces differ from it.</summary>
/// <param name="options">What the command line asks for.</param>
/// <param name="result">The command line.</param>
/// <param name="context">Inputs, outputs and messages.</param>
internal sealed class TracePreview(TraceOptions options, System.CommandLine.ParseResult result, CommandContext context)
{
    /// <summary>Samples, compares and composes; writes the numbers that are asked for.</summary>
    /// <param name="source">The records, open, with the settings that hold.</param>
    /// <param name="name">Their name.</param>
    /// <param name="hasMachine">Somebody has named the machine, whose settling and blanker are followed.</param>
    /// <param name="check">Refuses records of another machine.</param>
    /// <param name="picture">Title and size.</param>
    public WaveformPicture Compose(CompiledInput source, string name, bool hasMachine, OriginCheck check, PictureOptions picture)
    {
        if (source.Document.Kind != DocumentKind.Records && source.Document.Kind != DocumentKind.Stream)
        {
            throw TraceOptions.Wrong("--traces draws a stream or records, and this is another document", "compile it first, for example with 'patternc build'");
        }

        string? table = options.MeasuredOf(result);
        Machine? machine = hasMachine ? source.Settings.Machine : null;
        var sampler = new WaveformSampler(name, options.WindowOf(result), machine) { KeepsCourse = table is not null };
        IDocumentSink<RecordsHeader, DeflectionRecord> sink = hasMachine ? check.RecordsOfMachine(name, sampler) : sampler;
        source.Pipeline.ReadRecords(source.Document, sink);
        Waveforms waves = sampler.ToWaveforms();
        return WaveformPicture.Of(waves, picture, table is null ? [] : Compare(table, sampler.Course!));
    }

    private ImmutableArray<PlacedTrace> Compare(string table, ExpectedCourse course)
    {
        ImmutableArray<MeasuredTrace> measured;
        using (InputStream stream = context.Open(table))
        {
            measured = MeasuredTraceFile.Read(stream, stream.Name, options.ChannelsOf(result));
        }

        var comparer = new TraceComparer(course, table, options.TriggerOf(result));
        (ImmutableArray<TraceComparison> found, ImmutableArray<PlacedTrace> placed) = comparer.CompareAll(measured);
        if (options.NumbersOf(result) is string numbers)
        {
            using OutputFile file = context.Outputs.Create(numbers);
            if (TraceOptions.IsJson(numbers))
            {
                TraceComparisonText.WriteJson(found, file.Stream);
            }
            else
            {
                file.Stream.Write(Encoding.UTF8.GetBytes(TraceComparisonText.Format(found)));
            }

            file.Commit();
        }

        return placed;
    }
}
