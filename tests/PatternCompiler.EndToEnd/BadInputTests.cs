using System.Text;

namespace PatternCompiler.EndToEnd;

/// <summary>Bad input gets one clear error with place and remedy, a code by kind, and leaves no file.</summary>
public sealed class BadInputTests
{
    private const string Job = "job: test\nsources: [drawing]\noutputs:\n  - {file: out/a.stream, format: stream}\n";

    [Fact]
    public void Missing_file() =>
        Check("", 4, "missing.dxf: error PC0002: there is no such file; check the name\n", "build", "missing.dxf");

    [Fact]
    public void Missing_folder() =>
        Check("", 4, "no/missing.dxf: error PC0002: there is no such file; there is no folder no either: check the path\n", "build", "no/missing.dxf");

    [Fact]
    public void Missing_drawing_of_a_job() =>
        Check(("job.yaml", Job), 4, "drawing: error PC0002: there is no such file; check the name\n", "build", "job.yaml");

    [Fact]
    public void Missing_machine_of_a_job() =>
        Check(("job.yaml", Job + "machine: m.yaml\n"), 4, "m.yaml: error PC0130: there is no machine file of this name; check the path; in a job file it is relative to the job file's folder\n", "build", "job.yaml");

    [Fact]
    public void Folder_as_input() =>
        Check("", 4, ".: error PC0003: cannot read: it is a folder; name a file\n", "build", ".");

    [Fact]
    public void Empty_file() =>
        Check("", 1, "drawing: error PC0008: the input is empty; name a job file or a drawing\n", "build", "drawing");

    [Fact]
    public void Empty_standard_input() =>
        Check("", 1, "standard input: error PC0801: expected figures, found nothing at all; make figures with patternc fracture\n", "fill");

    [Fact]
    public void Binary_garbage()
    {
        var bytes = new byte[5000];
        new Random(1).NextBytes(bytes);
        bytes[0] = 0xF7;
        Check(("drawing", bytes), 1, "drawing: error PC0702: this is binary data of an unknown kind, not a drawing; accepted are ", "build", "drawing");
    }

    [Fact]
    public void Picture_with_a_drawings_name() =>
        Check(("drawing", (byte[])[0x89, (byte)'P', (byte)'N', (byte)'G', 13, 10, 26, 10]), 1, "drawing: error PC0601: this is a PNG picture, and the size of its pixels is not stated; say how large one is ('--unit \"100 nm\"', or 'unit' in the job) to write the picture; or export the drawing as DXF, SVG or GDSII\n", "build", "drawing");

    [Fact]
    public void Truncated_dxf()
    {
        using WorkFolder folder = new WorkFolder().With("drawing", Patterns.Dxf[..^60]);
        Outcome outcome = folder.Run("build", "drawing").Expect(1);
        Assert.Matches(@"^drawing:\d+: error PC03\d\d: ", outcome.Errors);
        Assert.Equal("drawing", Assert.Single(folder.Entries));
    }

    [Fact]
    public void Unknown_yaml_key() =>
        Check(("job.yaml", Job + "outputt: x\n"), 1, "job.yaml:5:1: error PC0111: unknown key 'outputt'; did you mean 'outputs'?\n    outputt: x\n    ^\n", "build", "job.yaml");

    [Fact]
    public void Wrong_dimension() =>
        Check(("job.yaml", Job + "grid: 1 V\n"), 1, "job.yaml:5:7: error PC0104: 'grid' needs a length, but '1 V' is a voltage; write for example 20 nm\n    grid: 1 V\n          ^\n", "build", "job.yaml");

    [Fact]
    public void Drawing_larger_than_the_field()
    {
        string layout = "layout 1\nunit um\nlayer a\nrect on a from (-10, -10) to (400, 10)\n";
        Check(
            ("drawing", layout),
            1,
            "drawing:4 (rect on layer a, figure 0 at (195, 0) um): error PC1601: the pattern is 410 um wide and 20 um high, from (-10, -10) to (400, 10) um, and reaches beyond the field of 100 um by 100 um about its centre by ",
            "build",
            "drawing");
    }

    [Fact]
    public void Nothing_on_the_chosen_layers() =>
        Check(("drawing", Patterns.Layout), 1, "drawing: error PC0120: the job asks for layer 'nothing', but there is none of this name; there are 'pads', 'wires'\n", "build", "drawing", "--layer", "nothing");

    [Fact]
    public void Stage_left_out() =>
        Check(("drawing", Patterns.Layout), 1, "drawing: error PC0801: expected strokes, found text that starts with \"layout 1\"; make strokes with patternc fill\n", "scale", "drawing");

    [Fact]
    public void Option_taken_for_a_file() =>
        Check("", 2, "patternc fracture: error PC0001: unknown option '--bogus'; for a file of that name write './--bogus'; see 'patternc fracture --help'\n", "fracture", "--bogus");

    [Fact]
    public void Option_given_twice() =>
        Check("", 2, "patternc fill: error PC0001: option '--dose' expects a single argument but 2 were provided; see 'patternc fill --help'\n", "fill", "drawing", "--dose", "1 uC/cm2", "--dose", "2 uC/cm2");

    private static void Check(string drawing, int code, string message, params string[] arguments) =>
        Check(("drawing", Encoding.UTF8.GetBytes(drawing)), code, message, arguments);

    private static void Check((string Name, string Text) file, int code, string message, params string[] arguments) =>
        Check((file.Name, Encoding.UTF8.GetBytes(file.Text)), code, message, arguments);

    private static void Check((string Name, byte[] Bytes) file, int code, string message, params string[] arguments)
    {
        using WorkFolder folder = new WorkFolder().With(file.Name, file.Bytes);
        Outcome outcome = folder.Run(arguments);
        Assert.True(message.EndsWith('\n') ? outcome.Errors == message : outcome.Errors.StartsWith(message, StringComparison.Ordinal), outcome.Errors);
        outcome.Expect(code);

        // One error, a caret line at most, no trace, nothing on standard output, no file.
        Assert.Single(outcome.Errors.Split('\n'), line => line.Contains("error PC", StringComparison.Ordinal));
        Assert.DoesNotContain("   at ", outcome.Errors, StringComparison.Ordinal);
        Assert.Empty(outcome.OutputBytes);
        Assert.Equal(file.Name, Assert.Single(folder.Entries));
    }
}
