using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Jobs.Traces;
using PatternCompiler.Limits;
using PatternCompiler.Places;
using PatternCompiler.Tests.FrontEnds.Dxf;
using PatternCompiler.Tests.FrontEnds.Gdsii;
using PatternCompiler.Tests.Jobs;

namespace PatternCompiler.Tests.Places;

/// <summary>What a build writes of its drawings, and later commands read, says the same of every place.</summary>
public sealed class TraceFileTests
{
    private const string Drawing =
        "layout 1\nunit um\nlayer a\nlayer b\ncell c\n  rect on a at (0, 0) size (1, 1)\n  circle on b at (3, 3) radius 1\nend\n"
        + "array c at (10, 10) rotate 45 mirror left-right columns 3 column-step 5 rows 2 row-step (1, 6)\nrect on a at (0, 0) size (4, 4)\nline on b (0, 0) (9, 9)\n";

    [Fact]
    public void Reading_what_was_written_names_the_same()
    {
        (MemoryFiles files, MessagePlaces own) = Build(new MemoryFiles().With("a.layout", Drawing), "operations: [{layer: r, from: a with b}], write: [r, b], position: centred", "a.layout");
        Trace trace = Read(files.Written["a.places"]);
        var again = new MessagePlaces();
        TraceUse.Run(trace, "a.places", new MemoryStream(files.Written["a.stream"]), "a.stream", again);
        foreach ((double x, double y) in Enumerable.Range(0, 400).Select(i => ((i % 20 * 1500.0) - 15_000, (i / 20 * 1500.0) - 15_000)))
        {
            foreach (string? layer in new[] { "r", "b", null })
            {
                Diagnostic told = About(x, y, layer);
                Assert.Equal(own.Complete(told).ToString(), again.Complete(told).ToString());
            }
        }
    }

    [Fact]
    public void Every_kind_of_place_is_kept()
    {
        string dxf = DxfTest.WithBlocks(
            ["BLOCK 2 PAD 10 0 20 0", "CIRCLE 5 20 8 0 10 0 20 0 40 1", "ENDBLK"],
            "CIRCLE 5 A1 8 a 10 40 20 0 40 5", "INSERT 5 31 8 a 2 PAD 10 5 20 6 70 3 44 3.33333333");
        const string Svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"0.02mm\" height=\"0.01mm\" viewBox=\"0 0 20 10\"><g id=\"s\"><rect id=\"a &quot;b&quot; \u00B5\" width=\"4\" height=\"2\"/> <rect x=\"9\" width=\"4\" height=\"2\"/></g></svg>";
        byte[] gdsii = GdsiiBytes.Library().Cell("TOP").Boundary(1, 0, 0, -9000, 4000, -9000, 4000, -5000).EndCell().End();
        MemoryFiles files = new MemoryFiles().With("a.dxf", dxf).With("a b\\c.svg", Svg).With("a.gds", gdsii);
        (files, MessagePlaces own) = Build(files, "", "a.dxf", "a b\\c.svg", "a.gds");
        var again = new MessagePlaces { Drawing = Read(files.Written["a.places"]).Drawing };
        string[] places = [.. new[] { (40_000.0, 0.0), (5000, 6000), (8333, 6000), (11_667, 6000), (2000, 9000), (11_000, 9000), (3000, -8000) }
            .Select(at => own.Complete(About(at.Item1, at.Item2, null)).Place.ToString())];
        Assert.Equal(places, new[] { (40_000.0, 0.0), (5000, 6000), (8333, 6000), (11_667, 6000), (2000, 9000), (11_000, 9000), (3000, -8000) }
            .Select(at => again.Complete(About(at.Item1, at.Item2, null)).Place.ToString()));
        Assert.Contains("(CIRCLE 20 on layer 0, placed by INSERT 31 on layer a in line ", places[2], StringComparison.Ordinal);
        Assert.Contains("(column 2), at (8.333, 6) um)", places[2], StringComparison.Ordinal);
        Assert.Equal(["a.dxf", "a.dxf", "a.dxf", "a.dxf", "a b\\c.svg", "a b\\c.svg", "a.gds"], places.Select(place => place[..place.IndexOfAny([':', '('])].Trim()));
    }

    [Fact]
    public void Fields_have_their_places()
    {
        (MemoryFiles files, _) = Build(new MemoryFiles().With("a.layout", "layout 1\nunit um\nlayer a\nrect on a at (0, 0) size (4, 2)\nrect on a at (30, 3) size (4, 4)\n"), "fields: {size: 20 um, margin: 2 um}", "a.layout");
        Trace trace = Read(files.Written["a.places"]);
        string[] fields = [.. trace.Outputs.Where(output => output.Field is not null).Select(output => output.Field!).Distinct()];
        Assert.Equal(2, fields.Length);
        foreach (TracedOutput output in trace.Outputs.Where(output => output.Field is not null))
        {
            // Figures, strokes and records of the field, with its centre as their origin.
            var places = new MessagePlaces();
            TraceUse.Run(trace, "a.places", new MemoryStream(files.Written[files.Written.Keys.Single(name => name.EndsWith(output.Name, StringComparison.Ordinal))]), output.Name, places);
            (double x, double y) = output.Field == fields[0] ? (2000.0, 1000.0) : (32_000, 5000);
            string place = places.Complete(About(x - output.XFemtometres * 1e-6, y - output.YFemtometres * 1e-6, null)).Place.ToString();
            Assert.Equal($"a.layout:{(output.Field == fields[0] ? 4 : 5)} (rect on layer a, in field {output.Field} at ({x / 1000}, {y / 1000}) um)", place);
        }
    }

    [Fact]
    public void Outputs_of_another_build_are_refused()
    {
        (MemoryFiles files, _) = Build(new MemoryFiles().With("a.layout", Drawing), "", "a.layout");
        byte[] stream = files.Written["a.stream"];
        stream[^1] ^= 1;
        Assert.Equal(
            "x.places: error PC0070: these places belong to 'a.stream', and 'b.stream' is none of them as they were written; build again with --places, and give the file that this build writes",
            Assert.Throws<CompileException>(() => TraceUse.Run(Read(files.Written["a.places"]), "x.places", new MemoryStream(stream), "b.stream", new MessagePlaces())).Message);
    }

    /// <summary>Three outputs are named, and the others counted.</summary>
    [Theory]
    [InlineData(0, "no outputs")]
    [InlineData(1, "'1.stream'")]
    [InlineData(3, "'1.stream', '2.stream', '3.stream'")]
    [InlineData(4, "'1.stream', '2.stream', '3.stream' and 1 more")]
    [InlineData(9, "'1.stream', '2.stream', '3.stream' and 6 more")]
    public void Outputs_that_a_document_is_none_of_are_named(int count, string names)
    {
        Trace trace = Read(Encoding.UTF8.GetBytes("places 1\n" + string.Concat(Enumerable.Range(1, count).Select(i => $"output {new string('0', 63)}{i} \"{i}.stream\"\n")) + "layout 1\nlayer a\n"));
        Assert.Equal(
            $"x.places: error PC0070: these places belong to {names}, and 'b.stream' is none of them as they were written; build again with --places, and give the file that this build writes",
            Assert.Throws<CompileException>(() => TraceUse.Run(trace, "x.places", new MemoryStream([1, 2]), "b.stream", new MessagePlaces())).Message);
    }

    [Theory]
    [InlineData("", "x.places: error PC0071: the file is empty; write the file again with 'patternc build --places'")]
    [InlineData("layout 1\n", "x.places: error PC0071: this is no file of places; name the file that 'patternc build --places' has written")]
    [InlineData("places 2\n", "x.places: error PC0071: this is no file of places; name the file that 'patternc build --places' has written")]
    [InlineData("places 1\n", "x.places: error PC0071: the file ends before its layout; write the file again with 'patternc build --places'")]
    [InlineData("places 1\nother\n", "x.places:2:1: error PC0071: expected 'output', 'made' or 'layout 1'; write the file again with 'patternc build --places'\n    other\n    ^")]
    [InlineData("places 1\noutput 12 \"a\"\n", "x.places:2:8: error PC0071: expected a SHA-256 of 64 digits; write the file again with 'patternc build --places'\n    output 12 \"a\"\n           ^")]
    [InlineData("places 1\nlayout 1\nlayer a\nrect on a drawn 1/2/3 at (0, 0) size (1 um, 1 um)\n", "x.places:4:17: error PC0204: '1/2/3' is no place; a place is ORIGIN/LINE/NUMBER, with the number of an 'origin' line above\n    rect on a drawn 1/2/3 at (0, 0) size (1 um, 1 um)\n                    ^")]
    public void A_damaged_file_is_an_error_with_its_line(string text, string error) =>
        Assert.Equal(error, Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes(text))).Message);

    /// <summary>Faults stand at the word that is wrong, whatever blanks there are before it.</summary>
    [Theory]
    [InlineData("\"a\" fild \"f\" at 1 2", "fild", "expected 'field'")]
    [InlineData("\"a\" field \"f\" on 1 2", "on", "expected 'at'")]
    [InlineData("\"a\" field \"f\" at   1x 2", "1x", "'1x' is no whole number")]
    [InlineData("\"a\" field \"f\" at 1   2x", "2x", "'2x' is no whole number")]
    [InlineData("\"a\" field \"f\" at 1 2 3", "3", "expected the end of the line after the place of the field")]
    public void Faults_of_an_output_stand_at_their_word(string rest, string word, string problem)
    {
        string line = $"output {new string('0', 64)} {rest}";
        Assert.StartsWith(
            $"x.places:2:{line.LastIndexOf(word, StringComparison.Ordinal) + 1}: error PC",
            Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes($"places 1\n{line}\n"))).Message,
            StringComparison.Ordinal);
        Assert.Contains(problem, Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes($"places 1\n{line}\n"))).Message, StringComparison.Ordinal);
    }

    private static Diagnostic About(double x, double y, string? layer) =>
        new(FillCodes.NoDose, Severity.Note, "told", new SourcePlace { Item = new(ItemKind.Figure, -1) { Layer = layer, XNanometres = x, YNanometres = y } });

    private static Trace Read(byte[] file) => TraceFile.Read(new MemoryStream(file), "x.places", WorkLimits.Usual, default);

    private static (MemoryFiles Files, MessagePlaces Places) Build(MemoryFiles files, string keys, params string[] sources)
    {
        Job job = JobFile.Parse($"{{job: a{(keys.Length > 0 ? ", " + keys : "")}}}", null) with
        {
            Sources = [.. sources.Select(source => new JobSource(source))],
            Outputs = [new JobOutput("a.stream", OutputFormat.Stream)],
            PlacesPath = "a.places",
        };
        var settings = new BuildSettings(job, DefaultFiles.Machine, DefaultFiles.Process);
        BuildRunner.Run(settings, files, new DiagnosticSink(), CancellationToken.None);
        var pipeline = new PatternCompiler.Jobs.Compilation.Pipeline(settings, files, new DiagnosticSink(), CancellationToken.None);
        pipeline.Layout();
        return (files, pipeline.Places);
    }
}
