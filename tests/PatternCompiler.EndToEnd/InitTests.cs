using System.Text.RegularExpressions;
using PatternCompiler.Jobs;

namespace PatternCompiler.EndToEnd;

public sealed partial class InitTests
{
    private static readonly string[] NewFiles = ["chip", "chip/job.yaml", "chip/machine.yaml", "chip/process.yaml", "chip/schemas", "chip/schemas/batch.json", "chip/schemas/job.json", "chip/schemas/machine.json", "chip/schemas/manifest.json", "chip/schemas/process.json"];

    [Fact]
    public void Files_hold_the_chosen_values_and_every_comment()
    {
        using var folder = new WorkFolder();
        Outcome outcome = folder.Run(
            "init", "chip", "--bits", "12", "--field", "80 um", "--spot", "60 nm", "--current", "50pA", "--dose", "250 uC/cm2", "--no-blanker", "--drawing", "art.dxf").Expect(0);
        Assert.Equal(NewFiles, folder.Entries);
        Assert.Equal(
            "wrote chip/machine.yaml\nwrote chip/process.yaml\nwrote chip/job.yaml\nnext: put your drawing at chip/art.dxf, then: patternc build chip/job.yaml\n",
            outcome.Errors);
        Instrument.Machine machine = MachineFile.Read(folder["chip/machine.yaml"]);
        Assert.Equal("chip", machine.Name);
        Assert.Equal(12, machine.Dac.Bits);
        Assert.Equal(80_000, machine.Deflection.FieldWidthNanometres);
        Assert.Equal(50e-12, machine.Beam.CurrentAmperes);
        Assert.False(machine.Blanker.IsPresent);
        Instrument.Resist process = ProcessFile.Read(folder["chip/process.yaml"]);
        Assert.Equal(2.5, process.AreaDoseCoulombsPerSquareMetre);
        Assert.Equal((0.833, 1.25), (process.Response.OnsetCoulombsPerSquareMetre, process.Response.ClearingCoulombsPerSquareMetre));
        Job job = JobFile.Read(folder["chip/job.yaml"]);
        Assert.Equal(folder["chip/art.dxf"], Assert.Single(job.Sources).Path);
        Assert.Equal(folder["chip/machine.yaml"], job.MachinePath);

        // Nothing but values changes: every comment of the built-in file, its opening apart, is still there.
        string text = File.ReadAllText(folder["chip/process.yaml"]);
        foreach (string line in DefaultFiles.ProcessText.Split('\n').SkipWhile(line => line.StartsWith('#')).Where(line => line.Contains('#', StringComparison.Ordinal)))
        {
            Assert.Contains(line[line.IndexOf('#', StringComparison.Ordinal)..], text, StringComparison.Ordinal);
        }
    }

    /// <summary>Every key that a settings file can have is there, with its comment, whatever was answered.</summary>
    [Fact]
    public void Files_hold_every_key()
    {
        using var folder = new WorkFolder();
        folder.Run("init", "chip", "--drawing", "a.svg").Expect(0);
        foreach ((string builtIn, string file) in new[] { (DefaultFiles.MachineText, "machine"), (DefaultFiles.ProcessText, "process"), (DefaultFiles.JobText, "job") })
        {
            string text = File.ReadAllText(folder[$"chip/{file}.yaml"]);
            foreach (Match key in Keys().Matches(builtIn))
            {
                Assert.Matches($@"\b{key.Groups[1].Value}:", text);
            }
        }
    }

    [GeneratedRegex(@"^[# -]*([a-z_]+):", RegexOptions.Multiline)]
    private static partial Regex Keys();

    /// <summary>Spacings follow from the answers, so that neither init nor the estimate of a plain drawing has anything to warn of.</summary>
    [Theory]
    [InlineData("12", "80 um", "50 pA", "60 nm", "10 MHz", "300 uC/cm2")]
    [InlineData("14", "100 um", "100 pA", "30 nm", "1 MHz", "300 uC/cm2")]
    [InlineData("16", "100 um", "200 pA", "20 nm", "10 MHz", "400 uC/cm2")]
    [InlineData("18", "200 um", "1 nA", "50 nm", "20 MHz", "300 uC/cm2")]
    [InlineData("20", "100 um", "20 pA", "8 nm", "10 MHz", "280 uC/cm2")]
    public void Answers_that_go_together_leave_nothing_to_warn_of(string bits, string field, string current, string spot, string clock, string dose)
    {
        using WorkFolder folder = new WorkFolder().With("chip/a.layout", "layout 1\nunit um\nlayer a\nrect on a from (-4, -3) to (4, 3)\nrect on a from (5, -3) to (8, 3)\n");
        Outcome asked = folder.Run(
            "init", "chip", "--drawing", "a.layout", "--bits", bits, "--field", field, "--current", current, "--spot", spot, "--clock", clock, "--dose", dose, "--link", "4 MB/s").Expect(0);
        Assert.DoesNotContain("warning", asked.Errors, StringComparison.Ordinal);
        Assert.DoesNotContain("warning", folder.Run("build", "chip/job.yaml").Expect(0).Errors, StringComparison.Ordinal);
        Assert.DoesNotContain("warning", folder.Run("estimate", "chip/job.yaml").Expect(0).Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void Answers_that_do_not_go_together_are_told_at_once()
    {
        using var folder = new WorkFolder();
        Assert.Contains(
            "warning PC3002: one code is 195 nm on the sample, 977% of the spot of 20 nm: edges will show steps",
            folder.Run("init", "chip", "--bits", "8", "--field", "50 um").Expect(0).Errors,
            StringComparison.Ordinal);
    }

    // Half of a negative resist remains at the geometric mean of onset and clearing dose; the base dose is twice that, whichever dose is given.
    [Theory]
    [InlineData(3, 1.22, 1.84)]
    [InlineData(3.27, 1.33, 2, "--clearing", "200 uC/cm2")]
    [InlineData(2, 0.5, 2, "--clearing", "200 uC/cm2", "--onset", "50 uC/cm2")]
    [InlineData(4, 1, 4, "--dose", "400 uC/cm2", "--onset", "100 uC/cm2")]
    [InlineData(4, 1.6, 2.5, "--dose", "400 uC/cm2", "--clearing", "250 uC/cm2")]
    public void A_negative_resist_gets_doses_that_print_edges_where_they_are_drawn(double area, double onset, double clearing, params string[] options)
    {
        using WorkFolder folder = new WorkFolder().With("chip/a.layout", Patterns.Layout);
        Assert.DoesNotContain("warning", folder.Run(["init", "chip", "--drawing", "a.layout", "--tone", "negative", .. options]).Expect(0).Errors, StringComparison.Ordinal);
        Instrument.Resist process = ProcessFile.Read(folder["chip/process.yaml"]);
        Assert.Equal("negative resist on silicon, 30 kV", process.Name);
        Assert.Matches("(?m)^  gel: .*\n(.*\n)*?  retention: ", File.ReadAllText(folder["chip/process.yaml"]));
        Assert.Equal(Instrument.ResistTone.Negative, process.Response.Tone);
        Assert.Equal((area, onset, clearing), (process.AreaDoseCoulombsPerSquareMetre, process.Response.OnsetCoulombsPerSquareMetre, process.Response.ClearingCoulombsPerSquareMetre));
        Assert.DoesNotContain("PC1671", folder.Run("build", "chip/job.yaml").Expect(0).Errors, StringComparison.Ordinal);
    }

    // The origin of a page is a corner; of other drawings it is where the field's centre belongs.
    [Theory]
    [InlineData("a.svg", null, PatternPosition.Centred)]
    [InlineData("a.PNG", null, PatternPosition.Centred)]
    [InlineData("a.dxf", null, PatternPosition.AsDrawn)]
    [InlineData("a.dxf", "centred", PatternPosition.Centred)]
    [InlineData("a.svg", "as-drawn", PatternPosition.AsDrawn)]
    public void The_pattern_lies_where_it_fits(string drawing, string? position, PatternPosition expected)
    {
        using var folder = new WorkFolder();
        string[] option = position is null ? [] : ["--position", position];
        folder.Run(["init", "--drawing", drawing, .. option]).Expect(0);
        Assert.Equal(expected, JobFile.Read(folder["job.yaml"]).Position);
    }

    [Fact]
    public void Pages_and_pictures_build_in_one_command()
    {
        using WorkFolder folder = new WorkFolder()
            .With("page.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"0.08mm\" height=\"0.06mm\" viewBox=\"0 0 80 60\"><rect x=\"60\" y=\"2\" width=\"4\" height=\"3\"/></svg>")
            .With("a.layout", Patterns.Layout);
        folder.Run("preview", "a.layout", "-o", "dots.png").Expect(0);
        Assert.Contains("it would fit when centred ('--position centred'", folder.Run("build", "page.svg").Expect(1).Errors, StringComparison.Ordinal);
        folder.Run("build", "page.svg", "--position", "centred").Expect(0);
        folder.Run("build", "dots.png", "--unit", "20 nm", "--position", "centred").Expect(0);
    }

    // The doses that are not given follow from the one that is, as in the built-in process.
    [Theory]
    [InlineData("--clearing", "200 uC/cm2", 4, 1.33)]
    [InlineData("--onset", "50 uC/cm2", 1.5, 0.5)]
    public void One_dose_brings_the_others(string option, string value, double area, double onset)
    {
        using var folder = new WorkFolder();
        folder.Run("init", option, value).Expect(0);
        Instrument.Resist process = ProcessFile.Read(folder["process.yaml"]);
        Assert.Equal((area, onset, area / 2), (process.AreaDoseCoulombsPerSquareMetre, process.Response.OnsetCoulombsPerSquareMetre, process.Response.ClearingCoulombsPerSquareMetre));
    }

    // M. A. McCord and M. J. Rooks (1997), ch. 2, from memory: 20 kV 0.12 and 2.0 µm, 50 kV 0.024 and 9.5 µm, ratio 0.74.
    [Theory]
    [InlineData("20 keV", 120, 2000)]
    [InlineData("50 keV", 24, 9500)]
    [InlineData("5 keV", 0, 0)]
    public void The_spread_to_start_from_is_the_published_one_at_the_energy(string energy, double forward, double backscatter)
    {
        using var folder = new WorkFolder();
        folder.Run("init", "--energy", energy).Expect(0);
        Instrument.Resist process = ProcessFile.Read(folder["process.yaml"]);
        Assert.Equal(forward, process.Spread?.Terms[0].RangeNanometres ?? 0);
        Assert.Equal(backscatter, process.Spread?.Terms[1].RangeNanometres ?? 0);
        Assert.Equal($"positive PMMA on silicon, {energy[..^4]} kV", process.Name);
    }

    [Fact]
    public void Files_that_are_there_stay_unless_forced()
    {
        using WorkFolder folder = new WorkFolder().With("process.yaml", "mine");
        Outcome outcome = folder.Run("init").Expect(4);
        Assert.Equal("./process.yaml: error PC0012: the file is there already; choose another folder, or overwrite with --force\n", outcome.Errors);
        Assert.Equal("process.yaml", Assert.Single(folder.Entries));
        folder.Run("init", "--force").Expect(0);
        Assert.Equal(9, folder.Entries.Length);
    }

    [Fact]
    public void Questions_are_asked_again_until_the_answer_fits()
    {
        using var folder = new WorkFolder();
        Outcome outcome = folder.Pipe("7\n12\n\n\n80 V\n80 um\n"u8.ToArray(), "init", "--ask", "--name", "lab").Expect(0);
        Assert.Contains("Resolution of the converters in bits [16]:   a whole number from 8 to 24 is needed, not '7'\n", outcome.Errors, StringComparison.Ordinal);
        Assert.Contains("it needs a length, but '80 V' is a voltage", outcome.Errors, StringComparison.Ordinal);
        Instrument.Machine machine = MachineFile.Read(folder["machine.yaml"]);
        Assert.Equal(12, machine.Dac.Bits);
        Assert.Equal(80_000, machine.Deflection.FieldWidthNanometres);
    }

    [Theory]
    [InlineData("--bits", "7", "option '--bits': a whole number from 8 to 24 is needed, not '7'")]
    [InlineData("--bits", "1,6", "option '--bits': a whole number from 8 to 24 is needed, not '1,6'")]
    [InlineData("--field", "80 V", "option '--field': it needs a length, but '80 V' is a voltage; write for example 20 nm")]
    [InlineData("--current", "50", "option '--current': it needs a current, but '50' has no unit; write for example 30 pA")]
    public void Wrong_values_are_refused_before_anything_is_written(string option, string value, string expected)
    {
        using var folder = new WorkFolder();
        Outcome outcome = folder.Run("init", option, value).Expect(2);
        Assert.Equal($"patternc init: error PC0001: {expected}; see 'patternc init --help'\n", outcome.Errors);
        Assert.Empty(folder.Entries);
    }

    [Fact]
    public void Names_that_yaml_would_misread_are_quoted()
    {
        using var folder = new WorkFolder();
        folder.Run("init", "--name", "chip: \"no. 2\" # new", "--drawing", "a \\ b: c.dxf").Expect(0);
        Job job = JobFile.Read(folder["job.yaml"]);
        Assert.Equal("chip: \"no. 2\" # new", job.Name);
        Assert.EndsWith("a \\ b: c.dxf", Assert.Single(job.Sources).Path, StringComparison.Ordinal);
    }
}
