using System.Globalization;
using PatternCompiler.BackEnds.Npy;
using PatternCompiler.BackEnds.Wave;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Oracles.BackEnds;

/// <summary>Sound and array files opened by programs that know nothing of this one: SoX and NumPy of Debian.</summary>
public sealed class OpenedElsewhereTests : IDisposable
{
    private static readonly RecordsHeader Header = new(
        "teaching microscope", new Dac(12, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 48_000, 1, 65535, 1, 1, false)
    {
        BlankLevel = BlankLevel.High,
    };

    private static readonly DeflectionRecord[] Pattern =
    [
        DeflectionRecord.Jump(0, 4095, 3),
        DeflectionRecord.Line(100, 2048, 104, 2048, 5, 10),
        DeflectionRecord.Jump(2048, 0, 2),
        DeflectionRecord.Dot(4095, 1, 4),
    ];

    // The same exposure tick by tick: code of x, code of y, beam on. One more turns the beam off.
    private static readonly (int X, int Y, bool IsOn)[] Ticks =
    [
        .. Enumerable.Repeat((0, 4095, false), 3),
        .. Enumerable.Range(100, 5).SelectMany(x => Enumerable.Repeat((x, 2048, true), 2)),
        .. Enumerable.Repeat((2048, 0, false), 2),
        .. Enumerable.Repeat((4095, 1, true), 4),
        (4095, 1, false),
    ];

    private readonly string folder = Directory.CreateTempSubdirectory("opened").FullName;

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [SoxFact]
    public void Sox_reads_rate_channels_and_every_sample()
    {
        string path = Write("a.wav", stream => new WaveWriter(stream));
        Assert.Equal("48000", Sox("--i", "-r", path).Trim());
        Assert.Equal("3", Sox("--i", "-c", path).Trim());
        Assert.Equal("16", Sox("--i", "-b", path).Trim());
        Assert.Equal(Ticks.Length.ToString(CultureInfo.InvariantCulture), Sox("--i", "-s", path).Trim());
        string text = Path.Combine(folder, "a.dat");
        Sox(path, text);

        // A line of SoX's text holds the time and a sample of each channel as a part of full scale; code 2048 of 4096 is 0 V.
        double[][] samples =
        [
            .. File.ReadLines(text).Where(line => !line.StartsWith(';')).Select(line =>
                line.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(part => double.Parse(part, CultureInfo.InvariantCulture)).ToArray()),
        ];
        Assert.Equal(Ticks.Length, samples.Length);
        for (int i = 0; i < Ticks.Length; i++)
        {
            Assert.Equal((Ticks[i].X - 2048) / 2048.0, samples[i][1], 1e-9);
            Assert.Equal((Ticks[i].Y - 2048) / 2048.0, samples[i][2], 1e-9);
            Assert.Equal(Ticks[i].IsOn, samples[i][3] < 0);
        }
    }

    [NumPyFact]
    public void Numpy_reads_every_row()
    {
        string path = Write("a.npy", stream => new NpyWriter(stream));
        const string Program = """
            import sys, numpy
            a = numpy.load(sys.argv[1])
            for r in a:
                for _ in range(int(r['ticks'])):
                    print(int(r['x']), int(r['y']), int(r['beam']))
            """;
        (int code, string output, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, "-c", Program, path);
        Assert.True(code == 0, errors);
        Assert.Equal(
            Ticks.Select(tick => $"{tick.X} {tick.Y} {(tick.IsOn ? 1 : 0)}"),
            output.Split('\n', StringSplitOptions.RemoveEmptyEntries));
    }

    private static string Sox(params string[] arguments)
    {
        (int code, string output, string errors) = OutsidePrograms.Run("sox", arguments);
        Assert.True(code == 0, errors);
        return output;
    }

    private string Write(string name, Func<Stream, IDocumentSink<RecordsHeader, DeflectionRecord>> create)
    {
        string path = Path.Combine(folder, name);
        using FileStream stream = File.Create(path);
        IDocumentSink<RecordsHeader, DeflectionRecord> writer = create(stream);
        writer.Begin(Header);
        writer.Write(Pattern);
        writer.End();
        return path;
    }
}
