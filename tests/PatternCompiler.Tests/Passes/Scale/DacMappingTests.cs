using CsCheck;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Tests.Passes.Scale;

public sealed class DacMappingTests
{
    private static readonly Gen<DacMapping> Mappings =
        from bits in Gen.Int[8, 24]
        from lastCode in Gen.Bool
        from width in Gen.Double[1_000, 1e6]
        from height in Gen.Double[1_000, 1e6]
        from invertX in Gen.Bool
        from invertY in Gen.Bool
        from swap in Gen.Bool
        from gain in Gen.Double[0.9, 1.1]
        from skew in Gen.Double[-0.05, 0.05]
        from offset in Gen.Double[-200, 200]
        from felt in Gen.Double[-0.2, 0.2]
        from given in Gen.Double[-0.2, 0.2]
        select new DacMapping(
            new Dac(bits, 0, 5, DacCoding.Straight, lastCode ? DacFullScale.LastCode : DacFullScale.OneBeyondLastCode),
            new Deflection(width, height, invertX, invertY, swap, new AffineCalibration(gain, skew, offset, -skew, 1 / gain, -offset)) { Crosstalk = felt < 0 ? null : new OutputCrosstalk(felt, given) });

    [Fact]
    public void The_place_of_a_code_has_that_code() => Gen.Select(Mappings, Gen.Double[0, 1], Gen.Double[0, 1]).Sample(
        (mapping, u, v) =>
        {
            (double x, double y) = (Math.Floor(u * (mapping.Dac.CodeCount - 1)), Math.Floor(v * (mapping.Dac.CodeCount - 1)));
            (double placeX, double placeY) = mapping.PlaceOf(x, y);
            (double codeX, double codeY) = mapping.CodesAt((long)Math.Round(placeX * 1e6), (long)Math.Round(placeY * 1e6));
            return Math.Abs(codeX - x) < 1e-2 && Math.Abs(codeY - y) < 1e-2;
        }, iter: Iterations.Usually(100));

    [Fact]
    public void The_lattice_of_an_upright_field_stands_on_codes() => Gen.Select(Mappings, Gen.Int[-100, 100]).Sample(
        (mapping, number) =>
        {
            var upright = new DacMapping(mapping.Dac, mapping.Deflection with { Crosstalk = null, Calibration = mapping.Deflection.Calibration.AtCentre with { XY = 0, YX = 0 } });
            CodeLattice lattice = upright.ToLattice();
            (double x, double y) = upright.CodesAt(lattice.X.PositionOf(number), lattice.Y.PositionOf(number));
            return Math.Abs(x - Math.Round(x)) < 1e-2 && Math.Abs(y - Math.Round(y)) < 1e-2 && lattice.X.StepFemtometres > 0;
        }, iter: Iterations.Usually(100));

    [Fact]
    public void Only_an_upright_even_field_has_one_lattice()
    {
        Assert.True(With(new AffineCalibration(1.01, 0, 30, 0, 0.98, 5)).HasOneLattice);
        Assert.False(With(new AffineCalibration(1, 1e-6, 0, 0, 1, 0)).HasOneLattice);
        Assert.False(With(new PolynomialCalibration(new FieldPolynomial(1, 50_000, [0, 50_000, 0], [0, 0, 50_000]))).HasOneLattice);

        static DacMapping With(FieldCalibration calibration) => new(
            ScaleCase.Options.Dac, ScaleCase.Options.Deflection with { Calibration = calibration });
    }

    /// <summary>A code from the middle adds its part of the other's; the middle stays where it is, whatever the range.</summary>
    [Fact]
    public void An_output_gives_its_part_of_what_the_other_gives()
    {
        var mapping = new DacMapping(ScaleCase.Options.Dac, ScaleCase.Options.Deflection with { Crosstalk = new OutputCrosstalk(0.01, -0.002) });
        Assert.Equal((0.0, 0.0), mapping.PlaceOf(32768, 32768));
        Assert.Equal((10_100.0, 9_980.0), mapping.PlaceOf(42768, 42768));
        Assert.Equal((100.0, 10_000.0), mapping.PlaceOf(32768, 42768));
        (double x, double y) = mapping.CodesAt(10_100_000_000, 9_980_000_000);
        Assert.Equal((42768, 42768), (x, y));
        Assert.False(mapping.HasOneLattice);
        Assert.True(mapping.KeepsLinesStraight);
    }

    /// <summary>Along the axes through the middle, a step is what is left of one code when the other makes up for what it gives.</summary>
    [Fact]
    public void The_lattice_of_outputs_with_crosstalk_has_their_steps()
    {
        var mapping = new DacMapping(ScaleCase.Options.Dac, ScaleCase.Options.Deflection with { Crosstalk = new OutputCrosstalk(0.1, 0.2) });
        CodeLattice lattice = mapping.ToLattice();
        Assert.Equal(0.98e6, lattice.X.StepFemtometres, 1e-6);
        Assert.Equal(0.98e6, lattice.Y.StepFemtometres, 1e-6);
        Assert.Equal(32768 + 1000, mapping.CodesAt(980_000_000, 0).X, 1e-9);
    }
}
