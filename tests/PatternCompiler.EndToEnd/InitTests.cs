using PatternCompiler.Jobs;

namespace PatternCompiler.EndToEnd;

public sealed class InitTests
{
    private static readonly string[] ThreeFiles = ["chip", "chip/job.yaml", "chip/machine.yaml", "chip/process.yaml"];

    [Fact]
    public void Files_hold_the_chosen_values_and_every_comment()
    {
        using var folder = new WorkFolder();
        Outcome outcome = folder.Run(
            "init", "chip", "--bits", "12", "--field", "80 um", "--current", "50pA", "--dose", "250 uC/cm2", "--no-blanker", "--drawing", "art.dxf").Expect(0);
        Assert.Equal(ThreeFiles, folder.Entries);
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
        Assert.Equal(3, folder.Entries.Length);
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
