using System.Text;
using System.Text.Json;

namespace PatternCompiler.EndToEnd;

/// <summary>Traces of streams and records: pictures, measured tables, numbers, and what is refused.</summary>
public sealed class TraceTests
{
    private const string Header =
        "records 1\nmachine \"lab\"\nbits 12\nrange -10 10 V\ncoding offset-binary\nfull-scale one-beyond-last-code\nclock 10000000 Hz\ndwell 1 65535 ticks\nstep 10 10 nm\naxes straight\nblank high\n";

    private const string Records = Header + "jump 1024 2000 1000\ndot 3072 2000 1000\njump 1024 2000 1000\ndot 3072 2000 1000\nend 4 2 4000\n";

    private const string Machine = """
        machine: lab
        dac: {bits: 12, lowest: -10 V, highest: 10 V, coding: offset binary}
        deflection: {field: 40.96 um}
        settle: {fixed: 20 us, time_constant: 5 us}
        clock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}
        blanker: {active: high, off_delay: 1 us, on_delay: 1 us}
        beam: {current: 1 nA, spot: 20 nm, energy: 30 keV}
        link: {rate: 8 MB/s, buffer: 64 KiB}

        """;

    private static WorkFolder Folder() => new WorkFolder().With("a.records", Records).With("m.yaml", Machine);

    [Fact]
    public void Traces_are_pictures_of_both_kinds_and_the_same_from_a_pipe()
    {
        using WorkFolder folder = Folder();
        Assert.Empty(folder.Run("preview", "a.records", "--traces", "-o", "a.png").Expect(0).Errors);
        Assert.Equal([0x89, 0x50], folder.Read("a.png")[..2]);
        folder.Run("emit", "a.records", "-q", "-o", "a.stream").Expect(0);
        folder.Run("preview", "a.stream", "--traces", "--machine", "m.yaml", "--from", "100 us", "--for", "50 us", "-o", "b.svg").Expect(0);
        string svg = Encoding.UTF8.GetString(folder.Read("b.svg"));
        Assert.Contains("<title>a.stream · traces</title>", svg, StringComparison.Ordinal);
        Assert.Contains("<desc>records 1 to 1 of 4 · 100 µs to 150 µs of 400 µs · lab, 12 bits, 100 ns a tick</desc>", svg, StringComparison.Ordinal);
        Assert.Contains("stroke-dasharray", svg, StringComparison.Ordinal);
        byte[] piped = folder.Pipe(folder.Read("a.stream"), "preview", "-", "--traces", "--machine", "m.yaml", "--from", "100 us", "--for", "50 us", "--format", "svg", "--title", "a.stream").Expect(0).OutputBytes;
        Assert.Equal(folder.Read("b.svg"), piped);
        folder.Run("preview", "a.records", "--traces", "--records", "0,1", "-o", "c.svg").Expect(0);
        string bare = Encoding.UTF8.GetString(folder.Read("c.svg"));
        Assert.Contains("<desc>records 0 to 1 of 4 · 0 s to 200 µs of 400 µs · lab, 12 bits, 100 ns a tick · no settling known: commanded lines alone</desc>", bare, StringComparison.Ordinal);
        Assert.DoesNotContain("stroke-dasharray", bare, StringComparison.Ordinal);
    }

    [Fact]
    public void A_measured_table_is_compared()
    {
        using WorkFolder folder = Folder();
        var table = new StringBuilder("Time (us);CH1;CH2\n");
        for (int i = 0; i < 1500; i++)
        {
            // Squares of 100 us, first-order behind 5 us, 2 us late, 9 V from low to high in place of 10 V.
            double time = i * 0.2 - 2;
            int step = (int)Math.Floor(time / 100);
            double from = step > 0 && step % 2 == 0 ? 5 : -5;
            double to = step % 2 == 1 ? 5 : -5;
            double volts = step <= 0 ? -5 : to + (from - to) * Math.Exp(-(time - 100 * step) / 5);
            table.Append(FormattableString.Invariant($"{i * 0.2:0.0};{0.9 * volts:0.00000};0\n"));
        }

        folder.With("scope.csv", table.ToString());
        Assert.Empty(folder.Run("preview", "a.records", "--traces", "--machine", "m.yaml", "--measured", "scope.csv", "--channels", "x", "--numbers", "n.json", "-o", "a.png").Expect(0).Errors);
        using JsonDocument json = JsonDocument.Parse(folder.Read("n.json"));
        JsonElement found = json.RootElement.GetProperty("traces")[0];
        Assert.Equal("x", found.GetProperty("line").GetString());
        Assert.InRange(found.GetProperty("delaySeconds").GetDouble(), 1.99e-6, 2.01e-6);
        Assert.InRange(found.GetProperty("gain").GetDouble(), 0.8995, 0.9005);
        folder.Run("preview", "a.records", "--traces", "--machine", "m.yaml", "--measured", "scope.csv", "--channels", "x", "--numbers", "n.txt", "-o", "a.png").Expect(0);
        Assert.Matches(@"^x +channel CH1, \d+ samples\n  delay +2(\.00\d)? us\n  gain +0\.(9|90\d+|899\d+)\n", Encoding.UTF8.GetString(folder.Read("n.txt")));
    }

    [Theory]
    [InlineData(2, "patternc preview: error PC0001: --from belongs to traces; add --traces\n", "a.records", "--from", "1 us")]
    [InlineData(2, "patternc preview: error PC0001: --records and a window of time exclude each other; leave out --records, or --from and --for\n", "a.records", "--traces", "--records", "0,1", "--for", "1 us")]
    [InlineData(2, "patternc preview: error PC0001: --traces draws lines over time, not the sample; leave out --strays and --window, or draw them as a picture of their own\n", "a.records", "--traces", "--strays")]
    [InlineData(2, "patternc preview: error PC0001: --from is before the first record; times count from the start of the first record\n", "a.records", "--traces", "--from=-1 us")]
    [InlineData(2, "patternc preview: error PC0001: --trigger belongs to a measured trace; name its table with --measured\n", "a.records", "--traces", "--trigger", "1 us")]
    [InlineData(2, "patternc preview: error PC0001: --channels takes x, y, blank, scan or -, not 'z'; write for example x,y,blank\n", "a.records", "--traces", "--measured", "m.yaml", "--channels", "z")]
    [InlineData(2, "patternc preview: error PC0001: --traces draws a stream or records, and this is another document; compile it first, for example with 'patternc build'\n", "a.layout", "--traces")]
    [InlineData(1, "a.records: error PC3030: nothing of the exposure lies in the window from 1 s: it lasts 400 us and has 4 records; choose a window within the exposure\n", "a.records", "--traces", "--from", "1 s")]
    [InlineData(1, "m.yaml:8: error PC3031: there is no row of numbers; save time and volts of each channel as a table\n", "a.records", "--traces", "--measured", "m.yaml")]
    [InlineData(4, "no.csv: error PC0002: there is no such file; check the name\n", "a.records", "--traces", "--measured", "no.csv")]
    public void What_cannot_be_drawn_is_told_and_leaves_no_picture(int code, string expected, params string[] arguments)
    {
        using WorkFolder folder = Folder().With("a.layout", "layout 1\nunit um\nlayer a\nrect on a at (0, 0) size (4, 2)\n");
        Outcome outcome = folder.Run(["preview", .. arguments, "-o", "a.png"]).Expect(code);
        Assert.Equal(expected, outcome.Errors);
        Assert.DoesNotContain("a.png", folder.Entries);
    }

    [Fact]
    public void A_wrong_range_of_records_says_how_to_write_it() => Assert.Contains(
        "option '--records' takes two numbers FIRST,LAST, the first from 0 and the last not below it, not '5,2'; write for example 100,250",
        new WorkFolder().Run("preview", "a.records", "--traces", "--records", "5,2", "-o", "a.png").Expect(2).Errors,
        StringComparison.Ordinal);

    /// <summary>A stream of another machine would be drawn with a settling that it never had.</summary>
    [Fact]
    public void A_stream_of_another_machine_is_refused()
    {
        using WorkFolder folder = Folder()
            .With("other.yaml", Machine.Replace("5 us", "6 us", StringComparison.Ordinal))
            .With("job.yaml", "job: a\nmachine: m.yaml\nsources: [a.layout]\noutputs: [{file: b.stream, format: stream}]\n")
            .With("a.layout", "layout 1\nunit um\nlayer a\nrect on a at (0, 0) size (4, 2)\n");
        folder.Run("build", "job.yaml", "-q").Expect(0);
        Assert.Matches("^b\\.stream: error PC3090: made for another machine 'lab' ", folder.Run("preview", "b.stream", "--traces", "--machine", "other.yaml", "-o", "a.png").Expect(1).Errors);
        folder.Run("preview", "b.stream", "--traces", "--machine", "m.yaml", "-o", "a.png").Expect(0);
    }
}
