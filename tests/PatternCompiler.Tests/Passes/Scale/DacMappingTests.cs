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
        select new DacMapping(
            new Dac(bits, 0, 5, DacCoding.Straight, lastCode ? DacFullScale.LastCode : DacFullScale.OneBeyondLastCode),
            new Deflection(width, height, invertX, invertY, swap, new AffineCalibration(gain, skew, offset, -skew, 1 / gain, -offset)));

    [Fact]
    public void The_place_of_a_code_has_that_code() => Gen.Select(Mappings, Gen.Double[0, 1], Gen.Double[0, 1]).Sample(
        (mapping, u, v) =>
        {
            (double x, double y) = (Math.Floor(u * (mapping.Dac.CodeCount - 1)), Math.Floor(v * (mapping.Dac.CodeCount - 1)));
            (double placeX, double placeY) = mapping.PlaceOf(x, y);
            (double codeX, double codeY) = mapping.CodesAt((long)Math.Round(placeX * 1e6), (long)Math.Round(placeY * 1e6));
            return Math.Abs(codeX - x) < 1e-2 && Math.Abs(codeY - y) < 1e-2;
        });

    [Fact]
    public void The_lattice_of_an_upright_field_stands_on_codes() => Gen.Select(Mappings, Gen.Int[-100, 100]).Sample(
        (mapping, number) =>
        {
            var upright = new DacMapping(mapping.Dac, mapping.Deflection with { Calibration = mapping.Deflection.Calibration.AtCentre with { XY = 0, YX = 0 } });
            CodeLattice lattice = upright.ToLattice();
            (double x, double y) = upright.CodesAt(lattice.X.PositionOf(number), lattice.Y.PositionOf(number));
            return Math.Abs(x - Math.Round(x)) < 1e-2 && Math.Abs(y - Math.Round(y)) < 1e-2 && lattice.X.StepFemtometres > 0;
        });

    [Fact]
    public void Only_an_upright_even_field_has_one_lattice()
    {
        Assert.True(With(new AffineCalibration(1.01, 0, 30, 0, 0.98, 5)).HasOneLattice);
        Assert.False(With(new AffineCalibration(1, 1e-6, 0, 0, 1, 0)).HasOneLattice);
        Assert.False(With(new PolynomialCalibration(new FieldPolynomial(1, 50_000, [0, 50_000, 0], [0, 0, 50_000]))).HasOneLattice);

        static DacMapping With(FieldCalibration calibration) => new(
            ScaleCase.Options.Dac, ScaleCase.Options.Deflection with { Calibration = calibration });
    }
}
