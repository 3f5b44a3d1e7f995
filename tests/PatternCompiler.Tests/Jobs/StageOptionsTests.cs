using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs;

public sealed class StageOptionsTests
{
    /// <summary>A spot of 20 nm on codes of 1 nm and 2 nm, whichever axis has which; never less than one code.</summary>
    [Theory]
    [InlineData(65.536, 131.072, 20, 20)]
    [InlineData(131.072, 65.536, 20, 20)]
    [InlineData(131.072, 262.144, 21, 10)]
    [InlineData(131.072, 262.144, 0.5, 1)]
    public void The_reach_of_the_blanker_is_a_spot_in_the_finer_codes(double width, double height, double spot, int codes)
    {
        Machine machine = DefaultFiles.Machine;
        machine = machine with
        {
            Beam = machine.Beam with { SpotNanometres = spot },
            Deflection = machine.Deflection with { FieldWidthNanometres = width * 1000, FieldHeightNanometres = height * 1000 },
        };
        Assert.Equal(codes, StageOptions.Scale(DefaultFiles.Job, machine).BlankerReachCodes);
    }

    [Fact]
    public void A_layer_takes_from_the_job_what_it_leaves_open()
    {
        Job job = JobFile.Parse(
            """
            job: test
            fill: {line_pitch: 13 codes}
            layers:
              - layer: fine
                dose_factor: 1.25
                fill: {point_step: 4 nm, strategy: raster}
            """,
            null);
        FillOptions options = StageOptions.Fill(job, DefaultFiles.Machine, DefaultFiles.Process);
        Assert.Equal(
            new LayerFill(FillStrategy.Of("lines"), FillDirection.LongSide, Spacing.FromCodes(13), Spacing.FromNanometres(10), DoseFactor.One),
            options.AllLayers);
        Assert.Equal(
            new LayerFill(FillStrategy.Of("raster"), FillDirection.LongSide, Spacing.FromCodes(13), Spacing.FromNanometres(4), DoseFactor.FromValue(1.25)),
            options.ByLayer["fine"]);
        Assert.Equal(["fine"], options.LayerOrder.AsEnumerable());
    }

    /// <summary>
    /// By hand from 300 µC/cm² = 3 C/m², 1 nC/cm = 1e-7 C/m and 1 fC: a line is 33.3 nm of area, a dot 333 nm²; sixteen points of 50 aC are 267 nm².
    /// </summary>
    [Fact]
    public void The_correction_counts_in_areas_of_the_base_dose()
    {
        Resist process = DefaultFiles.Process with { AreaDoseCoulombsPerSquareMetre = 3, LineDoseCoulombsPerMetre = 1e-7, DotChargeCoulombs = 1e-15 };
        PatternCompiler.Passes.Proximity.ProximityOptions options = StageOptions.Correction(JobFile.Parse("job: a\ncorrect: {target: edge}\n", null), DefaultFiles.Machine, process)!;
        Assert.Equal(100 / 3.0, options.LineDosePerAreaDoseNanometres, 1e-9);
        Assert.Equal(1000 / 3.0, options.DotChargePerAreaDoseSquareNanometres, 1e-9);
        Assert.Equal(800 / 3.0, options.SmallestPieceSquareNanometres, 1e-9);
        Assert.Equal(process.Response.PrintingCoulombsPerSquareMetre / 3, options.EdgeEnergy, 1e-12);
        Assert.Equal(3, options.AreaDoseCoulombsPerSquareMetre);
        Assert.Null(StageOptions.Correction(JobFile.Parse("job: a\n", null), DefaultFiles.Machine, process));
    }

    [Fact]
    public void The_smallest_charge_is_the_shortest_dwell_times_the_current() =>

        // 5 ticks at 10 MHz are 500 ns; times 100 pA that is 50 aC.
        Assert.Equal(5e-17, StageOptions.Fill(DefaultFiles.Job, DefaultFiles.Machine, DefaultFiles.Process).SmallestPointChargeCoulombs, 1e-30);
}
