using BenchmarkDotNet.Attributes;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.BackEnds.Volts;
using PatternCompiler.BackEnds.Words;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Benchmarks.BackEnds;

/// <summary>
/// Emits a raster of 4,096 lines of 4,096 points. Points per second are 16,777,216 over the time; the allocation column
/// shows that memory does not grow with the pattern.
/// </summary>
[MemoryDiagnoser]
[ShortRunJob]
public class EmissionBenchmark
{
    private const int Side = 4096;

    private static readonly RecordsHeader Header = new(
        "raster", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e7, 1, 65535, 1, 1, false)
    {
        BlankLevel = BlankLevel.High,
    };

    private readonly DeflectionRecord[] raster = Raster();
    private byte[] stream = [];

    [GlobalSetup]
    public void Setup()
    {
        using var target = new MemoryStream();
        Emit(new ExposureStreamWriter(target, StreamProfile.Points));
        stream = target.ToArray();
        Console.WriteLine($"// stream of points: {stream.Length} bytes");
    }

    [Benchmark]
    public void StreamOfPoints() => Emit(new ExposureStreamWriter(Stream.Null, StreamProfile.Points));

    [Benchmark]
    public void StreamOfLines() => Emit(new ExposureStreamWriter(Stream.Null, StreamProfile.Lines));

    [Benchmark]
    public void Words() => Emit(new WordsWriter(Stream.Null, null));

    [Benchmark]
    public void Volts() => Emit(new VoltsWriter(Stream.Null));

    [Benchmark]
    public void TextOfPoints() => Emit(new DotsAsText(new RecordsTextWriter(Stream.Null)));

    [Benchmark]
    public void DecodeStreamOfPoints()
    {
        using var source = new MemoryStream(stream);
        ExposureStreamReader.Read(source, "raster", new Nothing(), new DiagnosticSink(), default);
    }

    private static DeflectionRecord[] Raster()
    {
        var records = new List<DeflectionRecord>();
        for (int y = 0; y < Side; y++)
        {
            records.Add(DeflectionRecord.Jump(0, y, 500));
            records.Add(DeflectionRecord.Line(0, y, Side - 1, y, Side, Side * 21L + 17));
        }

        return [.. records];
    }

    private void Emit(IDocumentSink<RecordsHeader, DeflectionRecord> sink)
    {
        sink.Begin(Header);
        sink.Write(raster);
        sink.End();
    }

    private sealed class Nothing : IDocumentSink<RecordsHeader, DeflectionRecord>
    {
        public void Begin(RecordsHeader header)
        {
        }

        public void Write(ReadOnlySpan<DeflectionRecord> items)
        {
        }

        public void End()
        {
        }
    }

    private sealed class DotsAsText(RecordsTextWriter writer) : IDocumentSink<RecordsHeader, DeflectionRecord>
    {
        private readonly LinePoint[] points = new LinePoint[Side];
        private readonly DeflectionRecord[] dots = new DeflectionRecord[Side];

        public void Begin(RecordsHeader header) => writer.Begin(header);

        public void Write(ReadOnlySpan<DeflectionRecord> items)
        {
            foreach (ref readonly DeflectionRecord record in items)
            {
                if (record.Kind == RecordKind.Line)
                {
                    int count = LinePoints.Expand(record, 0, points);
                    for (int i = 0; i < count; i++)
                    {
                        dots[i] = DeflectionRecord.Dot(points[i].X, points[i].Y, points[i].Ticks);
                    }

                    writer.Write(dots.AsSpan(0, count));
                }
                else
                {
                    writer.Write([record]);
                }
            }
        }

        public void End() => writer.End();
    }
}
