using CsCheck;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Tests.Passes.Scale;

public sealed class LocalLatticeTests
{
    [Fact]
    public void Codes_near_a_place_of_a_tilted_field_stand_where_the_lattice_says() => Gen.Select(
        Gen.Double[-0.02, 0.02], Gen.Double[-0.02, 0.02], Gen.Int[-40_000, 40_000], Gen.Int[-40_000, 40_000], Gen.Int[0, 7], Gen.Int[-300, 300]).Sample(
        (xy, yx, x, y, flips, number) =>
        {
            DacMapping mapping = With(new AffineCalibration(1.02, xy, 120, yx, 0.97, -340), flips);
            LocalLattice local = LocalLattice.Of(mapping, x * 1e6 - 1e8, y * 1e6 - 1e8, x * 1e6 + 1e8, y * 1e6 + 1e8)!;

            // Along both axes through the place, whole numbers of the lattice are whole codes.
            long first = (long)Math.Round(local.Lattice.X.NumberAt(x * 1e6)) + number;
            long second = (long)Math.Round(local.Lattice.Y.NumberAt(y * 1e6)) + number;
            double codeX = Codes(mapping, local.Lattice.X.PositionOf(first), (long)(y * 1e6)).X;
            double codeY = Codes(mapping, (long)(x * 1e6), local.Lattice.Y.PositionOf(second)).Y;
            return Math.Abs(codeX - Math.Round(codeX)) < 1e-3 && Math.Abs(codeY - Math.Round(codeY)) < 1e-3;
        },
        iter: Iterations.Usually(200));

    [Fact]
    public void The_deviation_is_the_tilt_over_half_the_part()
    {
        // 5 mrad over half of 2 um are 5 nm; 16-bit codes of 100 um are 1.526 nm.
        LocalLattice local = LocalLattice.Of(With(new AffineCalibration(1, 0.005, 0, 0, 1, 0), 0), 3e9, -1e9, 4e9, 1e9)!;
        Assert.Equal(5 / (100_000 / 65536.0), local.DeviationCodes, 1e-3);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(3)]
    [InlineData(7)]
    public void Steps_are_lengths_whichever_way_codes_rise(int flips)
    {
        CodeLattice lattice = LocalLattice.Of(With(AffineCalibration.Identity, flips), 3e9, -1e9, 4e9, 1e9)!.Lattice;
        Assert.Equal(1e11 / 65536, lattice.X.StepFemtometres, 1.0);
        Assert.Equal(1e11 / 65536, lattice.Y.StepFemtometres, 1.0);
    }

    [Fact]
    public void A_tilt_of_y_alone_is_seen_too()
    {
        // The same in the other axis: 5 mrad along 1 um of x.
        LocalLattice local = LocalLattice.Of(With(new AffineCalibration(1, 0, 0, 0.005, 1, 0), 0), -1e9, 3e9, 1e9, 4e9)!;
        Assert.Equal(5 / (100_000 / 65536.0), local.DeviationCodes, 1e-3);
    }

    [Fact]
    public void Outside_the_calibrated_area_there_is_none()
    {
        var grid = new GridCalibration(2, 2, (-10_000, -10_000), (20_000, 20_000), [(-10_000, -10_000), (10_000, -10_000), (-10_000, 10_000), (10_000, 10_000)]);
        Assert.NotNull(LocalLattice.Of(With(grid, 0), 1e9, 1e9, 2e9, 2e9));
        Assert.Null(LocalLattice.Of(With(grid, 0), 30e9, 1e9, 31e9, 2e9));
    }

    private static (double X, double Y) Codes(DacMapping mapping, long x, long y)
    {
        (double outputX, double outputY) = mapping.CodesAt(x, y);
        return mapping.Deflection.SwapAxes ? (outputY, outputX) : (outputX, outputY);
    }

    private static DacMapping With(FieldCalibration calibration, int flips) => new(
        ScaleCase.Options.Dac with { Bits = 16 },
        new Deflection(100_000, 100_000, (flips & 1) != 0, (flips & 2) != 0, (flips & 4) != 0, calibration));
}
