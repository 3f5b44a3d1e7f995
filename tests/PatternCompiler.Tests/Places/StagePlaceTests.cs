using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Tests.Jobs;

namespace PatternCompiler.Tests.Places;

/// <summary>Every stage that complains of a figure names the statement that drew it.</summary>
public sealed class StagePlaceTests
{
    private const string Head = "layout 1\nunit um\nlayer a\n";

    [Theory]
    [InlineData("PC1070", "rect on a at (0, 0) size (4, 2)\nrect on a at (9, 0) size (4, 2)\nrect on a at (9, 0) size (4, 2)\n", "", "a.layout:6 (rect on layer a)")]
    [InlineData("PC1103", "rect on a at (0, 0) size (4, 2)\nrect on a at (1, 2) size (2, 0.003)\n", "fracture: {sliver: 10 nm, direction: horizontal}", "a.layout:5 (rect on layer a, figure 1 at (2, 2.0015) um)")]
    [InlineData("PC1102", "rect on a at (0, 0) size (4, 2)\nrect on a dose 2 at (3, 0) size (4, 1)\n", "", "a.layout:4 (rect on layer a, at (3.5, 0.5) um)")]
    [InlineData("PC1108", "line on a (0, 0) (10, 0)\nline on a (5, 0) (20, 0)\n", "", "a.layout:4 (line on layer a, at (7.5, 0) um)")]
    [InlineData("PC1206", "rect on a at (0, 0) size (4, 2)\nrect on a dose 0 at (9, 0) size (4, 1)\n", "", "a.layout:5 (rect on layer a, figure 0 at (11, 0.5) um)")]
    [InlineData("PC1285", "rect on a at (0, 0) size (4, 2)\nrect on a at (9, 3) size (0.002, 0.002)\n", "", "a.layout:5 (rect on layer a, figure 1 at (9.001, 3.001) um)")]
    [InlineData("PC1210", "rect on a at (0, 0) size (4, 2)\nrect on a dose 0.05 at (9, 3) size (4, 4)\n", "", "a.layout:5 (rect on layer a, figure 0 at (11, 5) um)")]
    [InlineData("PC1601", "rect on a at (0, 0) size (4, 2)\nrect on a at (900, 3) size (4, 4)\n", "", "a.layout:5 (rect on layer a, figure 1 at (902, 5) um)")]
    [InlineData("PC1502", "rect on a at (0, 0) size (4, 2)\nrect on a at (9, 3) size (0.01, 0.01)\n", "correct: {tolerance: 0.1 %, iterations: 1}", "a.layout:5 (rect on layer a, figure ")]
    [InlineData("PC3006", "rect on a at (0, 0) size (4, 2)\nline on a dose 0.0001 (9, 3) (12, 3)\n", "", "a.layout:5 (line on layer a, at (")]
    public void A_stage_names_what_was_drawn(string code, string drawing, string keys, string place) =>
        Assert.StartsWith(place, Told(code, drawing, keys).Place.ToString(), StringComparison.Ordinal);

    /// <summary>A dot of some microseconds, of which the beam is off only 10 ms after it is told.</summary>
    [Fact]
    public void A_blanker_that_is_too_slow_is_told_of_the_figure_that_is_off_most() => Assert.Equal(
        "a.layout:5 (dot on layer a, figure 1 at (9, 3) um)",
        Told("PC1302", "rect on a at (0, 0) size (4, 2)\ndot on a at (9, 3)\n", "layers: [a]", machine => machine with
        {
            Blanker = new Blanker(true, true, 10e-3, 1e-6, 0) { IsCompensated = true },
        }).Place.ToString());

    [Theory]
    [InlineData(false, "PC3025")]
    [InlineData(true, "PC3026")]
    public void A_line_that_a_jump_would_print_leads_to_a_figure(bool isStrict, string code) => Assert.StartsWith(
        "a.layout:5 (rect on layer a, ",
        Told(code, "rect on a at (0, 0) size (4, 2)\nrect on a at (30, 3) size (4, 4)\n", isStrict ? "strict: yes" : "", machine => machine with
        {
            Blanker = new Blanker(false, true, 0, 0, 0), Settle = new SettleModel(0, 100e-6, 0),
        }).Place.ToString(),
        StringComparison.Ordinal);

    [Fact]
    public void A_link_that_is_too_slow_stalls_at_a_figure() => Assert.Matches(
        "^a\\.layout:4 \\(rect on layer a, record [0-9]+ at \\([0-4][0-9.]*, [0-2][0-9.]*\\) um\\)$",
        Told("PC3007", "rect on a at (0, 0) size (4, 2)\n", "", machine => machine with { Link = new Link(1000, 4096, false) }).Place.ToString());

    /// <summary>The second of two write fields of 20 um: its figures have numbers of their own, and count from its centre.</summary>
    [Fact]
    public void A_figure_of_a_write_field_has_its_position_in_the_pattern()
    {
        Diagnostic told = Told("PC1285", "rect on a at (0, 0) size (4, 2)\nrect on a at (30, 3) size (4, 4)\nrect on a at (31, 9) size (0.002, 0.002)\n", "fields: {size: 20 um, margin: 2 um}");
        Assert.Matches("^a\\.layout:6 \\(rect on layer a, figure 1 in field r01c0[0-9] at \\(31\\.001, 9\\.001\\) um\\)$", told.Place.ToString());
    }

    private static Diagnostic Told(string code, string drawing, string keys, Func<Machine, Machine>? machine = null)
    {
        Job job = JobFile.Parse($"{{job: a{(keys.Length > 0 ? ", " + keys : "")}}}", null) with { Sources = [new JobSource("a.layout")], Outputs = [new JobOutput("a.stream", OutputFormat.Stream)] };
        var sink = new DiagnosticSink();
        try
        {
            BuildRunner.Run(
                new BuildSettings(job, machine is null ? DefaultFiles.Machine : machine(DefaultFiles.Machine), DefaultFiles.Process), new MemoryFiles().With("a.layout", Head + drawing), sink, CancellationToken.None);
        }
        catch (CompileException fault)
        {
            sink.Report(fault.Diagnostic);
        }

        return sink.Collected.FirstOrDefault(told => told.Code.Id == code)
            ?? throw new Xunit.Sdk.XunitException($"no {code}, but {string.Join('\n', sink.Collected)}");
    }
}
