using System.Diagnostics;
using System.Globalization;
using System.Text;

namespace PatternCompiler.EndToEnd;

/// <summary>
/// Small drawings that ask for endless work end in the error of a limit or in the right result. The promise is ten seconds and
/// 1 GB: the runtime is held to 768 MB of its own, and the time to six times the promise, since tests may share a machine.
/// </summary>
public sealed class WorkLimitTests
{
    private const string Head = "layout 1\nunit um\nlayer a\n";

    private const string Crossings =
        "error PC0770: the shapes have more than the 4000000 crossings of edges that are allowed beyond 8 for each edge nearby; "
        + "look for shapes that were drawn or copied over each other many times; if it is meant so, raise 'limits: crossings' in the job";

    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    // In hexadecimal.
    private static readonly Dictionary<string, string?> Bounded = new() { ["DOTNET_GCHeapHardLimit"] = "30000000" };

    [Fact]
    public void A_million_circles_of_endless_fineness() => Refuse(
        Head + "cell c\ncircle on a at (0, 0) radius 0.5\nend\narray c at (0, 0) columns 1000 column-step 2 rows 1000 row-step 2\n",
        "error PC1024: written out flat, this drawing has 497000000 points; 100000016 are allowed (100000000, and 16 for each point drawn); "
        + "check the largest array: cell 'drawing' places 'c' 1000 x 1000 times; if it is meant so, raise 'limits: vertices' in the job",
        "--chord-error",
        "0.01 nm");

    [Fact]
    public void Half_a_million_circles_over_each_other() =>
        Refuse(Head + "repeat 700 as i\nrepeat 700 as j\ncircle on a at (i * 0.1, j * 0.1) radius 1\nend\nend\n", "layer 'a': " + Crossings);

    [Fact]
    public void A_random_polygon_of_30000_corners() => Refuse(RandomPolygon(30_000), "cell 'drawing': " + Crossings);

    [Fact]
    public void Turned_arrays_of_turned_arrays_over_each_other() => Refuse(
        Head + "cell q\npolygon on a (0, 0) (8, 1) (7, 9) (-1, 8)\nend\n"
        + "cell r\narray q at (0, 0) columns 40 column-step 3 rows 40 row-step 3\nend\n"
        + "cell s\nplace r at (0, 0) rotate 17\nplace r at (5, 3) rotate 31\nplace r at (2, 9) rotate 77\nend\n"
        + "array s at (0, 0) columns 10 column-step 7 rows 10 row-step 7\n",
        "layer 'a': " + Crossings);

    [Fact]
    public void A_fine_fill_of_a_large_area() => Refuse(
        Head + "rect on a from (-49, -49) to (49, 49)\n",
        "layer 'a': error PC0770: this needs 960400000001 points of the beam; 100000000064 are allowed (100000000000, and 64 for each figure); ",
        ["fracture"],
        ["fill", "--line-pitch", "0.1 nm", "--point-step", "0.1 nm"]);

    [Fact]
    public void An_attribute_without_end()
    {
        byte[] text = new byte[200 << 20];
        Array.Fill(text, (byte)' ');
        Encoding.ASCII.GetBytes("<svg>\n<path d=\"M0 0").CopyTo(text, 0);
        using var folder = new WorkFolder().With("endless.svg", text);
        Check(
            folder,
            ["fracture", "endless.svg", "-o", "out"],
            "endless.svg:2: error PC0770: an attribute, a text or a comment here is longer than the 16777216 bytes that are allowed; "
            + "draw it as several shapes, or take out an embedded picture; if it is meant so, raise 'limits: text' in the job");
    }

    [Fact]
    public void A_thousand_copies_on_one_place_are_one_and_said()
    {
        using var folder = new WorkFolder().With("same.layout", Encoding.ASCII.GetBytes(
            Head + "cell c\npolygon on a (0, 0) (8, 1) (7, 9) (-1, 8)\nend\narray c at (0, 0) columns 1000000 column-step 0 rows 1000 row-step 0\n"));
        Outcome outcome = Executable.Run(folder.Path, ["fracture", "same.layout"], environment: Bounded).Expect(0);
        Assert.Contains(
            "warning PC1070: 999999999 copies of cells lie exactly on another one, the first of cell 'c' in cell 'drawing'; one is written",
            outcome.Errors,
            StringComparison.Ordinal);
    }

    [Fact]
    public void A_limit_that_is_raised_lets_the_drawing_pass()
    {
        using var folder = new WorkFolder()
            .With("gon.layout", Encoding.ASCII.GetBytes(RandomPolygon(600)))
            .With("low.yaml", "job: low\nlimits: {crossings: 1000}\n"u8.ToArray())
            .With("high.yaml", "job: high\nlimits: {crossings: 1000000}\n"u8.ToArray());
        Assert.Contains("more than the 1000 crossings", Executable.Run(folder.Path, ["fracture", "gon.layout", "--job", "low.yaml"]).Expect(1).Errors, StringComparison.Ordinal);
        byte[] high = Executable.Run(folder.Path, ["fracture", "gon.layout", "--job", "high.yaml"]).Expect(0).OutputBytes;
        Assert.Equal(Executable.Run(folder.Path, ["fracture", "gon.layout"]).Expect(0).OutputBytes, high);
    }

    /// <summary>Two combs of slanted bars: each is harmless alone, and where outlines of both are laid together is a stage of its own.</summary>
    [Theory]
    [InlineData("layer 'a'", "export", "gon.layout", "--format", "dxf")]
    [InlineData("layer 'a'", "export", "gon.layout", "--format", "gdsii")]
    [InlineData("cell 'drawing'", "boolean", "gon.layout")]
    [InlineData("cell 'drawing'", "offset", "gon.layout", "--by", "10 nm")]
    [InlineData("all layers together", "build", "combs.layout", "-o", "out.pcs")]
    [InlineData("all layers together", "simulate", "small.layout", "--against", "combs.layout")]
    [InlineData("layer 'a'", "fill", "combs.figures")]
    public void Limits_of_a_job_reach_every_stage_that_lays_outlines_together(string place, params string[] command)
    {
        var bars = new StringBuilder(Head.Replace("um", "nm", StringComparison.Ordinal)).Append("layer b\n");
        for (int at = 0; at < 12_000; at += 200)
        {
            bars.Append(CultureInfo.InvariantCulture, $"polygon on a ({at}, 0) ({at + 100}, 0) ({at + 300}, 12000) ({at + 200}, 12000)\n");
            bars.Append(CultureInfo.InvariantCulture, $"polygon on b (0, {at}) (0, {at + 100}) (12000, {at + 300}) (12000, {at + 200})\n");
        }

        using var folder = new WorkFolder()
            .With("gon.layout", Encoding.ASCII.GetBytes(RandomPolygon(300)))
            .With("combs.layout", Encoding.ASCII.GetBytes(bars.ToString()))
            .With("small.layout", Encoding.ASCII.GetBytes(Head + "rect on a from (0, 0) to (1, 1)\n"))
            .With("low.yaml", "job: low\nlimits: {crossings: 100}\nfill: {strategy: inward contours}\nnets: {a: [[50 nm, 50 nm]]}\n"u8.ToArray());
        string figures = Executable.Run(folder.Path, ["fracture", "combs.layout"]).Expect(0).Output;
        folder.With("combs.figures", Encoding.ASCII.GetBytes(figures.Replace("trap 1 ", "trap 0 ", StringComparison.Ordinal)));
        Assert.Contains(
            $"{place}: error PC0770: the shapes have more than the 100 crossings of edges",
            Executable.Run(folder.Path, [.. command, "--job", "low.yaml"]).Expect(1).Errors,
            StringComparison.Ordinal);
    }

    private static string RandomPolygon(int corners)
    {
        var random = new Random(3);
        var text = new StringBuilder(Head.Replace("um", "nm", StringComparison.Ordinal)).Append("polygon on a");
        for (int i = 0; i < corners; i++)
        {
            text.Append(CultureInfo.InvariantCulture, $" ({random.Next(100_000)}, {random.Next(100_000)})");
        }

        return text.Append('\n').ToString();
    }

    private static void Refuse(string layout, string message, params string[] options)
    {
        using var folder = new WorkFolder().With("drawing.layout", Encoding.ASCII.GetBytes(layout));
        Check(folder, ["fracture", "drawing.layout", "-o", "out", .. options], message);
    }

    private static void Refuse(string layout, string message, string[] first, string[] second)
    {
        using var folder = new WorkFolder().With("drawing.layout", Encoding.ASCII.GetBytes(layout));
        Executable.Run(folder.Path, [.. first, "drawing.layout", "-o", "between"], environment: Bounded).Expect(0);
        Check(folder, [.. second, "between", "-o", "out"], message);
    }

    private static void Check(WorkFolder folder, string[] command, string message)
    {
        long start = Stopwatch.GetTimestamp();
        Outcome outcome = Executable.Run(folder.Path, command, environment: Bounded).Expect(1);
        TimeSpan time = Stopwatch.GetElapsedTime(start);
        string error = Assert.Single(outcome.Errors.Split('\n'), line => line.Contains("error PC", StringComparison.Ordinal));
        Assert.StartsWith(message, error, StringComparison.Ordinal);
        Assert.DoesNotContain("out", folder.Entries);
        Assert.InRange(time, TimeSpan.Zero, Patience);
    }
}
