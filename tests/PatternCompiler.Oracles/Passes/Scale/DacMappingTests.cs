using PatternCompiler.Instrument;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Oracles.Passes.Scale;

/// <summary>
/// Bipolar code table at ±10 V: W. Kester (ed.), The Data Conversion Handbook, Newnes 2005, ch. 2 (from memory), with
/// the offset binary codes as in application note AN9657.1, Data Conversion Binary Code Formats, 1997, table 1.
/// </summary>
public sealed class DacMappingTests
{
    public static TheoryData<double, int, int, int, int, int> OffsetBinary { get; } = new()
    {
        // volts, 12, 14, 16, 18, 20 bits
        { 7.5, 0xE00, 0x3800, 0xE000, 0x38000, 0xE0000 },
        { 5, 0xC00, 0x3000, 0xC000, 0x30000, 0xC0000 },
        { 2.5, 0xA00, 0x2800, 0xA000, 0x28000, 0xA0000 },
        { 0, 0x800, 0x2000, 0x8000, 0x20000, 0x80000 },
        { -2.5, 0x600, 0x1800, 0x6000, 0x18000, 0x60000 },
        { -5, 0x400, 0x1000, 0x4000, 0x10000, 0x40000 },
        { -7.5, 0x200, 0x0800, 0x2000, 0x08000, 0x20000 },
        { -10, 0x000, 0x0000, 0x0000, 0x00000, 0x00000 },
    };

    [Theory]
    [MemberData(nameof(OffsetBinary))]
    public void Voltages_have_the_codes_of_the_handbook(double volts, int bits12, int bits14, int bits16, int bits18, int bits20)
    {
        foreach ((int bits, int code) in new[] { (12, bits12), (14, bits14), (16, bits16), (18, bits18), (20, bits20) })
        {
            DacMapping mapping = Mapping(bits);
            Assert.Equal(code, DacMapping.Nearest(mapping.CodeOfVolts(volts)));

            // A field of 20 µm makes 1 µm of sample 1 V.
            (double x, double y) = mapping.CodesAt((long)(volts * 1e9), 0);
            Assert.Equal(code, DacMapping.Nearest(x));
            Assert.Equal(1 << (bits - 1), DacMapping.Nearest(y));
        }
    }

    [Theory]
    [InlineData(12, 9.99511719)]
    [InlineData(14, 9.99877930)]
    [InlineData(16, 9.99969482)]
    [InlineData(18, 9.99992371)]
    [InlineData(20, 9.99998093)]
    public void The_last_code_stays_one_step_below_full_scale(int bits, double volts)
    {
        DacMapping mapping = Mapping(bits);
        Assert.Equal(volts, mapping.VoltsOf((1 << bits) - 1), 8);
        Assert.Equal((1 << bits) - 1, DacMapping.Nearest(mapping.CodeOfVolts(volts)));

        // Full scale itself has no code.
        Assert.Equal(1 << bits, DacMapping.Nearest(mapping.CodeOfVolts(10)));
    }

    [Theory]
    [InlineData(1, 0x8CCD)]
    [InlineData(-1, 0x7333)]
    [InlineData(3.3, 0xAA3D)]
    [InlineData(20.0 / 65536, 0x8001)]
    [InlineData(-20.0 / 65536, 0x7FFF)]
    public void Voltages_between_codes_go_to_the_nearest(double volts, int code) =>
        Assert.Equal(code, DacMapping.Nearest(Mapping(16).CodeOfVolts(volts)));

    [Theory]
    [InlineData(12, 24.414)]
    [InlineData(14, 6.1035)]
    [InlineData(16, 1.5259)]
    [InlineData(18, 0.3815)]
    [InlineData(20, 0.0954)]
    public void A_code_is_this_large_on_a_field_of_100_um(int bits, double nanometres)
    {
        var mapping = new DacMapping(
            new Dac(bits, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode),
            new Deflection(100_000, 100_000, false, false, false, AffineCalibration.Identity));
        Assert.Equal(nanometres, mapping.NanometresPerCodeX, 0.0001);
    }

    private static DacMapping Mapping(int bits) => new(
        new Dac(bits, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode),
        new Deflection(20_000, 20_000, false, false, false, AffineCalibration.Identity));
}
