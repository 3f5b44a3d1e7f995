namespace PatternCompiler.EndToEnd;

/// <summary>Every format that emit writes, decode reads.</summary>
public sealed class EmitDecodeTests
{
    private const string Records =
        "records 1\nmachine \"built-in microscope, 16 bit\"\nbits 16\nrange -10 10 V\ncoding offset-binary\nfull-scale one-beyond-last-code\nclock 10000000 Hz\ndwell 5 16777215 ticks\nstep 1.52587890625 1.52587890625 nm\naxes straight\nblank high\n" +
        "jump 32768 32768 500\ndot 32768 32768 20\ndot 32770 32768 25\njump 0 65535 900\ndot 0 65535 30\nend 5 3 1475\n";

    [Theory]
    [InlineData("stream")]
    [InlineData("words")]
    [InlineData("records")]
    [InlineData("volts")]
    [InlineData("wav")]
    [InlineData("npy")]
    [InlineData("gcode")]
    [InlineData("vcd")]
    public void Decode_gives_back_what_was_emitted(string format)
    {
        using var folder = new WorkFolder();
        File.WriteAllText(Path.Combine(folder.Path, "a.records"), Records);
        Executable.Run(folder.Path, ["emit", "a.records", "--format", format, "-o", "a.out", "-q"]).Expect(0);
        string[] named = format is "words" or "gcode" ? ["--format", format] : [];
        Assert.Equal(Records, Executable.Run(folder.Path, ["decode", "a.out", "-q", .. named]).Expect(0).Output);
    }

    [Fact]
    public void A_stream_holds_points_and_wide_words_where_asked_for()
    {
        using var folder = new WorkFolder();
        File.WriteAllText(
            Path.Combine(folder.Path, "a.records"),
            Records.Replace("end 5 3 1475", "line 1 1 4 1 4 40\nend 6 7 1515", StringComparison.Ordinal));
        byte[] lines = Executable.Run(folder.Path, ["emit", "a.records", "-q"]).Expect(0).OutputBytes;
        byte[] points = Executable.Run(folder.Path, ["emit", "a.records", "--profile", "points", "--word-bytes", "4", "-q"]).Expect(0).OutputBytes;
        Assert.Equal([2, 1], lines[12..14]);
        Assert.Equal([4, 0], points[12..14]);
        string decoded = Executable.Run(folder.Path, ["decode", "-q"], points).Expect(0).Output;
        Assert.EndsWith("dot 1 1 10\ndot 2 1 10\ndot 3 1 10\ndot 4 1 10\nend 9 7 1515\n", decoded, StringComparison.Ordinal);
    }

    [Fact]
    public void An_array_file_needs_a_file()
    {
        using var folder = new WorkFolder();
        File.WriteAllText(Path.Combine(folder.Path, "a.records"), Records);
        Assert.Equal(
            "error PC2010: an array file states its length at its beginning, so it cannot be written to a pipe; write it to a file\n",
            Executable.Shell(folder.Path, "patternc emit a.records -q --format npy | cat").Errors);
    }
}
