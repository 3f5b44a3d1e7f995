using System.Globalization;
using System.Text;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Architecture;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds.ExposureStream;

/// <summary>
/// The stream's test vectors, kept as files for authors of receivers: records as text, the stream, and a dump of it. To
/// write them anew after a deliberate change, run these tests with PATTERNC_WRITE_VECTORS=1 and read the difference.
/// </summary>
public sealed class VectorTests
{
    private static readonly string Folder = Path.Combine(SourceTree.Root, "examples/receiver/vectors");

    private static bool IsWriting => Environment.GetEnvironmentVariable("PATTERNC_WRITE_VECTORS") == "1";

    public static TheoryData<string, string, int> Vectors => new()
    {
        { "points-12-bit", "Points", 2 },
        { "lines-written-as-points-12-bit", "Points", 2 },
        { "lines-16-bit-twos-complement", "Lines", 2 },
        { "lines-20-bit", "Lines", 3 },
        { "lines-20-bit-wide-words", "Lines", 4 },
        { "empty-8-bit", "Lines", 2 },
    };

    /// <summary>Streams of version 1.0, which are read and never written again.</summary>
    public static TheoryData<string, string> OldVectors => new()
    {
        { "version-1.0-points-12-bit", "Points" },
        { "version-1.0-lines-20-bit", "Lines" },
    };

    [Fact]
    public void Every_file_has_its_test() => Assert.Equal(
        Vectors.Select(row => (string)row[0]).Concat(OldVectors.Select(row => (string)row[0])).Order(StringComparer.Ordinal),
        Directory.EnumerateFiles(Folder, "*.stream").Select(Path.GetFileNameWithoutExtension).Order(StringComparer.Ordinal));

    [Theory]
    [MemberData(nameof(Vectors))]
    public void The_writer_writes_them_and_the_reader_reads_them(string name, string profileName, int wordBytes)
    {
        StreamProfile profile = Enum.Parse<StreamProfile>(profileName);
        CollectingSink<RecordsHeader, DeflectionRecord> records = ReadRecords(name);
        byte[] bytes = Documents.Written<RecordsHeader, DeflectionRecord>(
            s => new ExposureStreamWriter(s, new ExposureStreamOptions(profile, wordBytes)), records.Header!, [.. records.Items]);
        if (IsWriting)
        {
            File.WriteAllBytes(PathOf(name, "stream"), bytes);
            File.WriteAllText(PathOf(name, "hex"), Dump(bytes));
        }

        byte[] kept = File.ReadAllBytes(PathOf(name, "stream"));
        Assert.Equal(Dump(kept), Dump(bytes));
        Assert.Equal(File.ReadAllText(PathOf(name, "hex")), Dump(bytes));
        AssertDecoded(name, profile, records);
    }

    [Theory]
    [MemberData(nameof(OldVectors))]
    public void Old_streams_are_read_and_state_no_level(string name, string profileName)
    {
        Assert.Equal([1, 0], File.ReadAllBytes(PathOf(name, "stream"))[6..8]);
        Assert.Equal(File.ReadAllText(PathOf(name, "hex")), Dump(File.ReadAllBytes(PathOf(name, "stream"))));
        CollectingSink<RecordsHeader, DeflectionRecord> records = ReadRecords(name);
        Assert.Equal((BlankLevel.NotStated, default), (records.Header!.BlankLevel, records.Header.MadeFor));
        AssertDecoded(name, Enum.Parse<StreamProfile>(profileName), records);
    }

    [Fact]
    public void Every_level_has_its_vector() => Assert.Equal(
        Enum.GetValues<BlankLevel>(),
        Vectors.Select(row => ReadRecords((string)row[0]).Header!.BlankLevel).Distinct().Order());

    private static void AssertDecoded(string name, StreamProfile profile, CollectingSink<RecordsHeader, DeflectionRecord> records)
    {
        var decoded = new CollectingSink<RecordsHeader, DeflectionRecord>();
        using var stream = new MemoryStream(File.ReadAllBytes(PathOf(name, "stream")));
        ExposureStreamReader.Read(stream, name, decoded, new DiagnosticSink(), default);
        Assert.Equal(records.Header, decoded.Header);
        Assert.Equal(profile == StreamProfile.Lines ? records.Items : [.. Exposures.AsDots(records.Items)], decoded.Items);
    }

    private static CollectingSink<RecordsHeader, DeflectionRecord> ReadRecords(string name)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        using FileStream source = File.OpenRead(PathOf(name, "records"));
        RecordsReader.Read(source, name, sink, new DiagnosticSink(), default);
        return sink;
    }

    private static string PathOf(string name, string extension) => Path.Combine(Folder, $"{name}.{extension}");

    private static string Dump(byte[] bytes)
    {
        var text = new StringBuilder();
        foreach (byte[] row in bytes.Chunk(16))
        {
            text.Append(string.Join(' ', row.Select(value => value.ToString("X2", CultureInfo.InvariantCulture)))).Append('\n');
        }

        return text.ToString();
    }
}
