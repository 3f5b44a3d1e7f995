using System.Text;
using System.Text.RegularExpressions;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Reports.Html;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs;

public sealed partial class BuildReportTests
{
    private const string Chip = """
        layout 1
        unit um
        layer pads
        layer fingers
        rect on pads from (0, 0) to (3, 2)
        rect on pads from (2, 1) to (4, 3) dose 1.1
        path on fingers width 0.2 (-4, 0) (-3, 1) (-3, 3)
        line on fingers (-1, -1) (0.5, -2) (1, -2)
        dot on fingers at (4, 3.5)
        """;

    private static (string Page, BuildSummary Summary) Build(Func<BuildSettings, BuildSettings> change)
    {
        MemoryFiles files = new MemoryFiles().With("chip.layout", Chip);
        var settings = new BuildSettings(
            DefaultFiles.Job with
            {
                Name = "small chip",
                Sources = [new JobSource("chip.layout")],
                Outputs = [new JobOutput("chip.stream", OutputFormat.Stream)],
                Report = new JobReport("chip.html"),
            },
            DefaultFiles.Machine,
            DefaultFiles.Process)
        {
            ToolVersion = "1.2.3",
        };
        BuildSummary summary = BuildRunner.Run(change(settings), files, new DiagnosticSink(), CancellationToken.None);
        return (Encoding.UTF8.GetString(files.Written["chip.html"]), summary);
    }

    /// <summary>The near picture is told by its size and its middle, whichever way that lies.</summary>
    [Fact]
    public void The_part_that_a_job_names_is_told_with_its_place()
    {
        (string page, _) = Build(settings => settings with { Job = settings.Job with { Report = settings.Job.Report! with { Centre = (2500, -750) } } });
        Assert.Contains("The part that the job names: the lines and points that the controller makes.", page, StringComparison.Ordinal);
        Assert.Matches("[0-9.]+\u00A0?(µm|nm) wide, around \\(2.5, -0.75\\) µm", page);
    }

    [Fact]
    public void It_tells_what_the_summary_tells()
    {
        (string page, BuildSummary summary) = Build(settings => settings);
        Assert.Equal(4, Data().Count(page));
        Assert.Contains("<h1>small chip</h1>", page, StringComparison.Ordinal);
        Assert.Contains($"<dt>Figures</dt>\n<dd>{summary.Figures.Figures}</dd>", page, StringComparison.Ordinal);
        Assert.Contains($"<dt>Write time</dt>\n<dd>{ReportText.Of(summary.Estimate.TotalSeconds, Dimension.Time)}</dd>", page, StringComparison.Ordinal);
        Assert.Contains($"<dt>Charge</dt>\n<dd>{ReportText.Of(summary.Estimate.ChargeCoulombs, Dimension.Charge)}</dd>", page, StringComparison.Ordinal);

        // 3 µm x 2 µm less 1 µm² at 300 µC/cm², 2 µm x 2 µm at 330 µC/cm².
        Assert.Contains("<th scope=\"row\">pads</th>\n<td>areas</td>", page, StringComparison.Ordinal);
        Assert.Contains("<td class=\"number\">9\u00A0µm²</td>\n<td class=\"number\">300 to 330\u00A0µC/cm²</td>\n<td class=\"number\">313.3\u00A0µC/cm²</td>\n<td class=\"number\">28.2\u00A0pC</td>", page, StringComparison.Ordinal);
        Assert.Contains("PC1102 areas of different dose overlap", page, StringComparison.Ordinal);

        // The built-in doses of a single line and a dot stay below half the base dose in the resist.
        Assert.Contains("Shapes: 1 lost figure.", page, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_energy_spread_it_says_that_nothing_is_predicted()
    {
        string page = Build(settings => settings with { Process = settings.Process with { Spread = null } }).Page;
        Assert.Contains("Not predicted: the process does not say how energy spreads", page, StringComparison.Ordinal);
        Assert.Equal(3, Data().Count(page));
    }

    /// <summary>Write fields are shown by their strokes, with and without a prediction.</summary>
    [Theory]
    [InlineData(true, 4)]
    [InlineData(false, 3)]
    public void Write_fields_are_shown_by_their_strokes(bool hasSpread, int pictures)
    {
        string page = Build(settings => settings with
        {
            Job = settings.Job with { Fields = JobFile.Parse("{job: a, fields: {size: 20 um, margin: 2 um}}", null).Fields },
            Process = hasSpread ? settings.Process : settings.Process with { Spread = null },
        }).Page;
        Assert.Equal(pictures, Data().Count(page));
        Assert.Equal(!hasSpread, page.Contains("Not predicted: the process does not say how energy spreads", StringComparison.Ordinal));
        Assert.Contains("Where most edges lie: the strokes of all write fields.", page, StringComparison.Ordinal);
    }

    /// <summary>A mark of a write field is drawn in what is predicted: it prints sound, and is nothing that nobody drew.</summary>
    [Fact]
    public void Marks_of_write_fields_are_drawn_where_they_are_predicted()
    {
        string page = Build(settings => settings with
        {
            Job = settings.Job with
            {
                Fields = JobFile.Parse("{job: a, fields: {size: 20 um, margin: 2 um, marks: {layer: m, size: 2 um, bar: 500 nm, at: [[-5 um, 5 um]]}}}", null).Fields,
                Report = settings.Job.Report! with { Centre = (-5000, 5750), WidthNanometres = 3000 },
            },
        }).Page;
        string told = NearPicture().Matches(page)[1].Value;
        Assert.Contains("Predicted resist: edges off by ", told, StringComparison.Ordinal);
        Assert.Contains("shapes sound", told, StringComparison.Ordinal);
    }

    [Fact]
    public void The_part_shown_closely_can_be_chosen()
    {
        string page = Build(settings => settings with
        {
            Job = settings.Job with { Report = new JobReport("chip.html") { Centre = (1000, 1000), WidthNanometres = 1500 } },
        }).Page;
        Assert.Contains("in 1.5\u00A0µm × 1.2\u00A0µm around (1,\u00A01)\u00A0µm", page, StringComparison.Ordinal);
        Assert.Contains("The part that the job names", page, StringComparison.Ordinal);
    }

    /// <summary>
    /// The near pictures are those of the part that the job names: others where it moves in x or in y. Without title and legend: 480 wide, of which 90 for the axis; 0.8 of 390 high, and 60.
    /// </summary>
    [Fact]
    public void Near_pictures_follow_the_part_that_is_named()
    {
        string[] here = Near(0, 0);
        Assert.Equal(2, here.Length);
        Assert.All(here, picture => Assert.Contains("width=\"480\" height=\"372\"", picture, StringComparison.Ordinal));
        string[] right = Near(1000, 0);
        string[] above = Near(0, 1000);
        Assert.NotEqual(here, right);
        Assert.NotEqual(here, above);
        Assert.NotEqual(right, above);
    }

    /// <summary>
    /// 3 µm by 2.4 µm around (2.6, 1.47) µm on 390 by 312 pixels, 130 a micrometre, from (1.1, 0.27) to (4.1, 2.67): lines at 1.5, 2 … 4 µm stand
    /// 52, 117 … 377 from the left side, at 76, and those at 2.5, 2 … 0.5 µm 22.1, 87.1 … 282.1 below the top, at 14.
    /// </summary>
    [Fact]
    public void The_near_picture_shows_the_part_that_is_named()
    {
        string picture = Near(100, -30)[0];
        string svg = Encoding.UTF8.GetString(Convert.FromBase64String(Data().Match(picture).Value.Split(',')[1]));
        Assert.Equal("128 193 258 323 388 453", Lines("<rect x=\"([0-9]+)\" y=\"14\" width=\"1\" height=\"312\""));
        Assert.Equal("296 231 166 101 36", Lines("<rect x=\"76\" y=\"([0-9]+)\" width=\"390\" height=\"1\""));

        string Lines(string pattern) => string.Join(' ', Regex.Matches(svg, pattern).Select(match => match.Groups[1].Value));
    }

    [Fact]
    public void Doubts_of_the_estimate_are_linked_from_the_limit_they_are_about()
    {
        string page = Build(settings => settings with { Machine = settings.Machine with { Dac = settings.Machine.Dac with { Bits = 10 } } }).Page;
        Assert.Contains("<a href=\"#PC3002\">PC3002</a>", page, StringComparison.Ordinal);
        Assert.Contains("<div class=\"message warning\" id=\"PC3002\">", page, StringComparison.Ordinal);
    }

    [Fact]
    public void The_outputs_are_the_same_with_and_without_it()
    {
        BuildSummary with = Build(settings => settings).Summary;
        MemoryFiles files = new MemoryFiles().With("chip.layout", Chip);
        var plain = new BuildSettings(
            DefaultFiles.Job with { Name = "small chip", Sources = [new JobSource("chip.layout")], Outputs = [new JobOutput("chip.stream", OutputFormat.Stream)] },
            DefaultFiles.Machine,
            DefaultFiles.Process);
        BuildSummary without = BuildRunner.Run(plain, files, new DiagnosticSink(), CancellationToken.None);
        Assert.Equal(
            Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(files.Written["chip.stream"])),
            Assert.Single(with.Files, file => file.Content == "stream").Hash);
        Assert.Null(Assert.Single(without.Files).Hash);
    }

    private static string[] Near(double x, double y) =>
        [.. NearPicture().Matches(Build(settings => settings with { Job = settings.Job with { Report = new JobReport("chip.html") { Centre = (2500 + x, 1500 + y), WidthNanometres = 3000 } } }).Page).Select(match => match.Value)];

    [GeneratedRegex("<img [^>]*alt=\"(Detail|Predicted resist)[^>]*>")]
    private static partial Regex NearPicture();

    [GeneratedRegex("data:(image/[a-z+]+);base64,[A-Za-z0-9+/=]+")]
    private static partial Regex Data();
}
