using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs.Batch;
using PatternCompiler.Prediction;
using PatternCompiler.Reports;

namespace PatternCompiler.Tests.Jobs.Batch;

/// <summary>What a batch remembers of a build: the file's text, and that whatever is not such a text means building again.</summary>
public sealed class BuildRecordsTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("records ").FullName;

    private BatchEntry Entry => BatchEntry.Of(Path.Combine(folder, "chip.yaml"));

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [Fact]
    public void A_record_is_a_text_that_gives_all_back()
    {
        var records = new BuildRecords(Path.Combine(folder, "kept"));
        var record = new BuildRecord(
            "1.2.3", "dose=300\nspacing=5 nm",
            [new FileStamp(Path.Combine(folder, "chip one.yaml"), 12, 630_000_000_000_000_001, "aa"), new FileStamp(Path.Combine(folder, "chip.layout"), 0, 7, "bb")],
            [new FileStamp(Path.Combine(folder, "kept", "chip.stream"), 99, 8, "cc")])
        {
            Figures = new BuildFigures(1234.5, 2, 3) { Records = 77, ChargeCoulombs = 1.5e-11 },
            Print = new PredictedPrint(new SampleWindow(-1, -2, 3, 4.5), -0.25, 7, 40, 3, 2, "1 short, 1 island", [0xFB, 0xFF, 0x00]),
            Losses = [new Diagnostic(CalibrationCodes.BadTable, Severity.Warning, "lost", new SourcePlace("a file", 3, 4, "e"), "look")],
        };
        records.Write(Entry, record);
        string[] lines = File.ReadAllLines(Assert.Single(Directory.GetFiles(records.Folder)));
        Assert.Equal(
            [
                "patternc build record 1",
                "version 1.2.3",
                "value dose=300",
                "value spacing=5 nm",
                "figures 1234.5 2 3",
                "exposure 77 1.5E-11",
                "print -1 -2 3 4.5 -0.25 7 40 3 2 +/8A 1 short, 1 island",
                $"""loss ["{CalibrationCodes.BadTable.Id}","lost","look","a file",3,4,"e"]""",
                "input aa 12 630000000000000001 ../chip one.yaml",
                "input bb 0 7 ../chip.layout",
                "output cc 99 8 chip.stream",
                "end",
            ],
            lines);
        BuildRecord read = records.Find(Entry, out bool isDamaged)!.Value.Record;
        Assert.False(isDamaged);
        Assert.Equal((record.ToolVersion, record.Fingerprint, record.Figures), (read.ToolVersion, read.Fingerprint, read.Figures));
        Assert.Equal(record.Inputs.AsEnumerable(), read.Inputs);
        Assert.Equal(record.Outputs.AsEnumerable(), read.Outputs);
        Assert.Equal(record.Losses.AsEnumerable(), read.Losses);
        Assert.Equal(record.Print, read.Print);
    }

    /// <summary>A record that holds nothing but its version is one, and so is one of a version that kept no figures.</summary>
    [Theory]
    [InlineData("")]
    [InlineData("value a=b\n")]
    [InlineData("input aa 1 2 x\noutput bb 3 4 y\n")]
    [InlineData("figures 1 2 3\n")]
    [InlineData("figures 1 2 3\nexposure 4 5\n")]
    [InlineData("print 1 2 3 4 5 6 7 8 0 AAAA \n")]
    public void Less_is_no_damage(string between) => Assert.NotNull(Read($"patternc build record 1\nversion 1\n{between}end\n", out _));

    /// <summary>Cut off anywhere, of another form, with a word alone, a number too few or one that is none: damaged, never an error.</summary>
    [Theory]
    [InlineData("")]
    [InlineData("\n")]
    [InlineData("patternc build record 1\n")]
    [InlineData("patternc build record 1\nend\n")]
    [InlineData("patternc build record 2\nversion 1\nend\n")]
    [InlineData("patternc build record 1\nversion 1\n")]
    [InlineData("patternc build record 1\nversion 1\nvalue a=b\n")]
    [InlineData("patternc build record 1\nversoin 1\nend\n")]
    [InlineData("patternc build record 1\nversion 1\n\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nvalue\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nfigures\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nfigures 1 2\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nfigures 1 2 3 4\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nfigures x 2 3\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nfigures 1 x 3\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nfigures 1 2 x\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nexposure 4 5\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nfigures 1 2 3\nexposure 4\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nfigures 1 2 3\nexposure 4 NaN\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nprint\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nprint 1 2 3 4 5 6 7 8 0 AAAA\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nprint 1 2 3 4 5 6 7 8 0 A!AA x\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nprint 1 2 3 4 5 6 7 x 0 AAAA x\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nloss\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nloss []\nend\n")]
    [InlineData("patternc build record 1\nversion 1\ninput\nend\n")]
    [InlineData("patternc build record 1\nversion 1\noutput\nend\n")]
    [InlineData("patternc build record 1\nversion 1\ninput aa 1 2\nend\n")]
    [InlineData("patternc build record 1\nversion 1\ninput aa x 2 name\nend\n")]
    [InlineData("patternc build record 1\nversion 1\noutput aa 1 x name\nend\n")]
    [InlineData("patternc build record 1\nversion 1\nother aa 1 2 name\nend\n")]
    public void Whatever_else_is_damaged(string text)
    {
        Assert.Null(Read(text, out bool isDamaged));
        Assert.True(isDamaged);
    }

    [Fact]
    public void No_record_is_no_damage()
    {
        var records = new BuildRecords(Path.Combine(folder, "kept"));
        Assert.Null(records.Find(Entry, out bool isDamaged));
        Assert.False(isDamaged);
        records.Remove(Entry);
        records.Write(Entry, new BuildRecord("1", "", [], []));
        records.Remove(Entry);
        Assert.Empty(Directory.GetFiles(records.Folder));
    }

    /// <summary>Job, values and folder each make another entry; a file among the values goes by where it is from the records.</summary>
    [Fact]
    public void Every_entry_has_a_record_of_its_own()
    {
        var records = new BuildRecords(Path.Combine(folder, "kept"));
        BatchEntry other = BatchEntry.Of(Path.Combine(folder, "other.yaml"));
        foreach (BatchEntry entry in (BatchEntry[])[Entry, other, Entry with { Folder = Path.Combine(folder, "out") }])
        {
            records.Write(entry, new BuildRecord("1", "", [], []));
        }

        Assert.Equal(3, Directory.GetFiles(records.Folder).Length);
    }

    [Fact]
    public void A_folder_that_cannot_be_is_told()
    {
        File.WriteAllText(Path.Combine(folder, "file"), "");
        var records = new BuildRecords(Path.Combine(folder, "file", "kept"));
        Diagnostic fault = Assert.Throws<CompileException>(() => records.Write(Entry, new BuildRecord("1", "", [], []))).Diagnostic;
        Assert.Equal((BatchCodes.CannotRecord, records.Folder, "name another folder for them"), (fault.Code, fault.Place.File, fault.Fix));
    }

    private BuildRecord? Read(string text, out bool isDamaged)
    {
        var records = new BuildRecords(Path.Combine(folder, "kept"));
        records.Write(Entry, new BuildRecord("1", "", [], []));
        File.WriteAllText(Assert.Single(Directory.GetFiles(records.Folder)), text);
        return records.Find(Entry, out isDamaged)?.Record;
    }
}
