namespace PatternCompiler.EndToEnd;

/// <summary>
/// What would have been exposed and is not, by every number that says so: a warning that --quiet keeps, and with --strict an
/// error that leaves no output. Stray lines, the same the other way round, have tests of their own.
/// </summary>
public sealed class LossTests
{
    private const string Shrinks = "layout 1\nunit um\nlayer a\nrect on a from (0, 0) to (1, 1)\n";
    private const string Lines = "layout 1\nunit um\nlayer a\nlayer b\nrect on a from (0, 0) to (1, 1)\nrect on b from (0, 0) to (2, 2)\nline on a (0, 0) (1, 1)\n";
    private const string Svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1mm\" height=\"1mm\" viewBox=\"0 0 1000 1000\"><rect width=\"9\" height=\"9\"{0}/>{1}</svg>";

    // A line is written only if its centre lies inside.
    private const string Centre = "centre.yaml";

    // The number, the input's name, and the command without it.
    private static readonly Dictionary<string, (string File, byte[] Bytes, string[] Command)> Inputs = new()
    {
        ["PC0385"] = ("a.dxf", Patterns.Dxf, ["parse"]),
        ["PC0481"] = ("a.svg", Text(Svg, "", "<text>A</text>"), ["parse"]),
        ["PC0585"] = ("a.gds", HostileGdsii.Flat, ["preview"]),
        ["PC0586"] = ("a.oas", HostileOasis.Flat, ["fracture"]),
        ["PC1002"] = ("a.layout", Text(Lines), ["boolean", "--intersection", "c=a,b"]),
        ["PC1003"] = ("a.layout", Text(Shrinks + "layer b\nrect on b from (9, 9) to (19, 19)\n"), ["offset", "--by", "-600 nm"]),
        ["PC1091"] = ("a.layout", Text(Shrinks + "cell c\nrect on a from (0, 0) to (0.0002, 1)\nend\nplace c at (5, 5) scale 0.2\n"), ["fracture"]),
        ["PC1207"] = ("a.layout", Text("layout 1\nunit nm\nlayer a\nrect on a from (0, 0) to (9000, 9000)\nrect on a from (0, 9000.3) to (9000, 9000.5)\n"), ["build", "--job", Centre]),
        ["PC1285"] = ("a.layout", Text("layout 1\nunit nm\nlayer a\nrect on a from (0, 0) to (9000, 9000)\nrect on a from (9999, 0) to (9999.2, 0.3)\n"), ["build"]),
        ["PC2051"] = ("a.layout", Text("layout 1\nunit um\nlayer a\nrect on a dose 2 from (0, 0) to (1, 1)\n"), ["export"]),
    };

    public static TheoryData<string> Numbers => [.. Inputs.Keys];

    [Theory]
    [MemberData(nameof(Numbers))]
    public void Is_told_quietly_and_refused_strictly(string number)
    {
        (string file, byte[] bytes, string[] command) = Inputs[number];
        using WorkFolder folder = new WorkFolder().With(file, bytes).With(Centre, "job: a\nfill: {placement: centre, line_pitch: 4 codes, point_step: 4 codes}\n");
        string output = command[0] switch { "preview" => "out.png", "export" => "out.gds", _ => "out" };
        string[] arguments = [.. command, file, "-o", output, "-q"];
        Outcome quiet = folder.Run(arguments).Expect(0);
        Assert.Contains($"warning {number}: ", quiet.Errors, StringComparison.Ordinal);
        Assert.Contains(output, folder.Entries);
        File.Delete(folder[output]);

        Outcome strict = folder.Run([.. arguments, "--strict"]).Expect(3);
        Assert.Contains($"warning {number}: ", strict.Errors, StringComparison.Ordinal);
        Assert.Matches($"error PC0085: what is written would not be what is drawn: .* of a loss \\(.*{number}.*\\), which strictness forbids; fix the drawing, or leave out --strict \\('strict: yes' in the job\\)\n$", strict.Errors);
        Assert.Equal([file, Centre], folder.Entries);
        Assert.Contains("with --strict it ends the program with code 3", folder.Run("explain", number).Expect(0).Output.ReplaceLineEndings(" "), StringComparison.Ordinal);
    }

    [Fact]
    public void The_whole_message_and_nothing_on_standard_output()
    {
        using WorkFolder folder = new WorkFolder().With("a.dxf", Patterns.Dxf);
        Outcome outcome = folder.Run("parse", "a.dxf", "--strict").Expect(3);
        Assert.Empty(outcome.OutputBytes);
        Assert.Equal(
            """
            a.dxf:40: warning PC0385: not exposed: 1 TEXT on layer NOTES (text is not read as strokes); fix it in the drawing, or choose layers without it
            a.dxf: note PC0323: read with 1 drawing unit = 1 um: the drawing is 4 × 4 um
            error PC0085: what is written would not be what is drawn: 1 warning of a loss (PC0385), which strictness forbids; fix the drawing, or leave out --strict ('strict: yes' in the job)

            """,
            outcome.Errors);
        Assert.NotEmpty(folder.Run("parse", "a.dxf", "--strict", "--layer", "PADS").Expect(0).OutputBytes);
        Assert.NotEmpty(folder.Run("parse", "a.dxf", "--strict", "--text", "false").Expect(0).OutputBytes);
        Assert.NotEmpty(folder.Run("parse", "a.dxf", "--strict", "--text").Expect(0).OutputBytes);
    }

    // A job's own word counts in every stage, and a batch does not forget what a build has lost.
    [Fact]
    public void Jobs_and_batches_hold_to_it()
    {
        const string Job = "job: a\nsources: [a.dxf]\noutputs: [{file: a.stream, format: stream}]\n";
        using WorkFolder folder = new WorkFolder().With("a.dxf", Patterns.Dxf).With("job.yaml", Job);
        const string Told = "a.dxf:40: warning PC0385: not exposed: 1 TEXT on layer NOTES (text is not read as strokes) (in job.yaml); fix it in the drawing, or choose layers without it\n";
        for (int i = 0; i < 2; i++)
        {
            Assert.Equal(Told, folder.Run("batch", "job.yaml", "-q").Expect(0).Errors);
        }

        Assert.Contains("error PC0085: ", folder.Run("batch", "job.yaml", "--strict").Expect(3).Errors, StringComparison.Ordinal);
        folder.With("job.yaml", Job + "strict: yes\n");
        Assert.Contains("error PC0085: ", folder.Run("batch", "job.yaml").Expect(3).Errors, StringComparison.Ordinal);
        Assert.Contains("error PC0085: ", folder.Run("build", "job.yaml").Expect(3).Errors, StringComparison.Ordinal);
        Assert.Contains("error PC0085: ", folder.Run("parse", "--job", "job.yaml").Expect(3).Errors, StringComparison.Ordinal);
    }

    private static byte[] Text(string format, params object[] parts) =>
        System.Text.Encoding.UTF8.GetBytes(parts.Length == 0 ? format : string.Format(System.Globalization.CultureInfo.InvariantCulture, format, parts));
}
