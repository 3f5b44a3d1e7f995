using System.Text;
using CsCheck;
using PatternCompiler.BackEnds.Volts;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds.Volts;

public sealed class VoltsTests
{
    private const string Example = """
        time_s,x_V,y_V,beam,blank
        0,0,-10,0,1
        0.00005,0,-10,1,0
        0.0000505,2.5,-7.5,1,0
        0.0000511,5,-5,1,0
        0.0000517,9.995117,9.995117,0,1
        0.0000717,9.995117,9.995117,0,1

        """;

    private static readonly DeflectionRecord[] Pattern =
    [
        DeflectionRecord.Jump(0x800, 0, 500),
        DeflectionRecord.Line(0x800, 0, 0xC00, 0x400, 3, 17),
        DeflectionRecord.Marker(3),
        DeflectionRecord.Jump(0xFFF, 0xFFF, 200),
    ];

    [Fact]
    public void Every_point_is_a_row_with_its_start_and_the_last_row_ends_the_exposure() =>
        Assert.Equal(Example, Encoding.UTF8.GetString(Written(Exposures.Header(12), Pattern)));

    // Levels and codes: table of bipolar codes for a converter of ±10 V in W. Kester (ed.), The Data Conversion
    // Handbook (Newnes 2005), chapter 2 (from memory; recomputed from LSB = 20 V / 2^N).
    [Theory]
    [InlineData(12, 0xFFF, "9.995117")]
    [InlineData(12, 0xE00, "7.5")]
    [InlineData(12, 0x801, "0.0048828")]
    [InlineData(12, 0x7FF, "-0.0048828")]
    [InlineData(12, 0x000, "-10")]
    [InlineData(16, 0xFFFF, "9.99969482")]
    [InlineData(16, 0xC000, "5")]
    [InlineData(16, 0x8001, "0.00030518")]
    [InlineData(16, 0x0000, "-10")]
    [InlineData(20, 0xFFFFF, "9.999980927")]
    public void Voltages_are_those_of_the_converter(int bits, int code, string volts)
    {
        string text = Encoding.UTF8.GetString(Written(Exposures.Header(bits), [DeflectionRecord.Dot(code, code, 1)]));
        string[] row = text.Split('\n')[1].Split(',');
        Assert.InRange(double.Parse(row[1], System.Globalization.CultureInfo.InvariantCulture) - double.Parse(volts, System.Globalization.CultureInfo.InvariantCulture), -5e-7, 5e-7);
    }

    [Fact]
    public void Decoding_what_was_emitted_gives_the_same_exposure() => Exposures.Any(1_000_000, 50).Sample(
        exposure =>
        {
            var (header, items) = exposure;
            CollectingSink<RecordsHeader, DeflectionRecord> sink = Read(Written(header, items), header);
            Assert.Equal(Exposures.Unclosed(header, items), Exposures.Unclosed(header, sink.Items));
            Assert.True(sink.HasEnded);
        },
        iter: Iterations.Usually(200));

    [Theory]
    [InlineData("volts\n", "v:1: error PC2001: expected the heading time_s,x_V,y_V,beam,blank; make the table with patternc emit")]
    [InlineData("time_s,x_V,y_V,beam,blank\n", "v:1: error PC2006: the table stops before its last row, which turns the beam off; emit it again")]
    [InlineData("time_s,x_V,y_V,beam,blank\n0,0,0,0\n", "v:2: error PC2012: expected time in seconds, x and y in volts, 1 or 0 for the beam, and 1 or 0 for the blank line, found \"0,0,0,0\"; emit the table again")]
    [InlineData("time_s,x_V,y_V,beam,blank\n0,0.001,0,0,1\n", "v:2: error PC2013: the time is no whole number of ticks, or a voltage is no code of the converter; name the machine file with which the table was made")]
    [InlineData("time_s,x_V,y_V,beam,blank\n0,0,0,1,0\n", "v:2: error PC2006: the table stops before its last row, which turns the beam off; emit it again")]
    [InlineData("time_s,x_V,y_V,beam,blank\n0.1,0,0,1,0\n0,0,0,0,1\n", "v:3: error PC2012: the time runs backwards; emit the table again")]
    [InlineData("time_s,x_V,y_V,beam,blank\n0,0,10,1,0\n0,0,0,0,1\n", "v:2: error PC2013: the time is no whole number of ticks, or a voltage is no code of the converter; name the machine file with which the table was made")]
    public void Faults_name_place_and_remedy(string text, string expected) => Assert.Equal(
        expected, Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes(text), Exposures.Header(12))).Message);

    /// <summary>What counts is the time from row to row: a table that begins later is the same exposure.</summary>
    [Fact]
    public void A_table_may_begin_at_any_time()
    {
        string[] rows = Example.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        string later = string.Concat(rows.Select((row, i) => i == 0 ? row + "\n" : FormattableString.Invariant($"{decimal.Parse(row.Split(',')[0], System.Globalization.CultureInfo.InvariantCulture) + 0.001m}{row[row.IndexOf(',')..]}\n")));
        Assert.Equal(Read(Encoding.UTF8.GetBytes(Example), Exposures.Header(12)).Items, Read(Encoding.UTF8.GetBytes(later), Exposures.Header(12)).Items);
    }

    /// <summary>Rows at one place are points of their own, whatever the beam.</summary>
    [Fact]
    public void Points_at_one_place_stay_apart()
    {
        DeflectionRecord[] items = [DeflectionRecord.Jump(5, 6, 7), DeflectionRecord.Jump(5, 6, 8), DeflectionRecord.Dot(5, 6, 9), DeflectionRecord.Dot(5, 6, 10), DeflectionRecord.Jump(5, 7, 11)];
        Assert.Equal(items, Read(Written(Exposures.Header(12), items), Exposures.Header(12)).Items);
    }

    // The outputs rest in the middle of the range until something moves them, and the beam is off.
    [Fact]
    public void Nothing_is_one_row_in_the_middle() => Assert.Equal(
        "time_s,x_V,y_V,beam,blank\n0,0,0,0,1\n", Encoding.UTF8.GetString(Written(Exposures.Header(12), [])));

    [Theory]
    [InlineData("x,0,0,0,1")]
    [InlineData("0,x,0,0,1")]
    [InlineData("0,0,x,0,1")]
    [InlineData("0,0,0,2,1")]
    [InlineData("0,0,0,x,1")]
    [InlineData("0,0,0,,1")]
    [InlineData("0,0,0,01,1")]
    [InlineData("0,0,0,0,2")]
    [InlineData("0,0,0,0,")]
    [InlineData("0,0,0,0,10")]
    [InlineData("0,0,0,0,1,1")]
    [InlineData("0,0,0,0,1,1,1")]
    public void Every_column_of_a_row_is_looked_at(string row) => Assert.Equal(
        $"v:3: error PC2012: expected time in seconds, x and y in volts, 1 or 0 for the beam, and 1 or 0 for the blank line, found \"{row}\"; emit the table again",
        Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes($"time_s,x_V,y_V,beam,blank\n0,0,0,0,1\n{row}\n1,0,0,0,1\n"), Exposures.Header(12))).Message);

    // 12 bits on ±10 V: 4.8828125 mV a code, from -10 V to 9.9951171875 V; 10 MHz: 0.1 µs a tick.
    [Theory]
    [InlineData("0,-10,9.995117,0,1", true)]
    [InlineData("0,9.995117,-10,0,1", true)]
    [InlineData("0,-10.004883,0,0,1", false)]
    [InlineData("0,10,0,0,1", false)]
    [InlineData("0,0,-10.004883,0,1", false)]
    [InlineData("0,0,10,0,1", false)]
    [InlineData("0,0.002441,0,0,1", false)]
    [InlineData("0,0,0.002441,0,1", false)]
    [InlineData("0.0000001,0,0,0,1", true)]
    [InlineData("0.00000005,0,0,0,1", false)]
    [InlineData("0.00000008,0,0,0,1", false)]
    public void Times_are_ticks_and_voltages_are_codes(string row, bool isOfThisMachine)
    {
        Exception? fault = Record.Exception(() => Read(Encoding.UTF8.GetBytes($"time_s,x_V,y_V,beam,blank\n{row}\n"), Exposures.Header(12)));
        Assert.Equal(isOfThisMachine ? null : "v:2: error PC2013: the time is no whole number of ticks, or a voltage is no code of the converter; name the machine file with which the table was made", fault?.Message);
    }

    /// <summary>More than any buffer holds: 30,000 points, no two neighbours alike, read back as they were.</summary>
    [Fact]
    public void A_long_exposure_comes_back_whole()
    {
        RecordsHeader header = Exposures.Header(12);
        DeflectionRecord[] items = [DeflectionRecord.Jump(7, 9, 50), .. Enumerable.Range(0, 30_000).Select(i => DeflectionRecord.Dot(i * 7 % 4096, i * 11 % 4096, 1 + i % 13))];
        Assert.Equal(Exposures.Unclosed(header, items), Exposures.Unclosed(header, Read(Written(header, items), header).Items));
    }

    private static byte[] Written(RecordsHeader header, DeflectionRecord[] items) =>
        Documents.Written<RecordsHeader, DeflectionRecord>(s => new VoltsWriter(s), header, items);

    private static CollectingSink<RecordsHeader, DeflectionRecord> Read(byte[] bytes, RecordsHeader header)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        using var stream = new PiecewiseStream(bytes, 11);
        VoltsReader.Read(stream, "v", header, sink, default);
        return sink;
    }
}
