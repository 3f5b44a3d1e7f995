using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Tests.Passes.Scale;

/// <summary>A machine for the scale tests: 16 bits, ±10 V on 65.536 µm, so that a code is 1 nm; 10 MHz, 100 pA.</summary>
internal static class ScaleCase
{
    public static ScaleOptions Options { get; } = new(
        "bench",
        new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode),
        new Deflection(65_536, 65_536, false, false, false, AffineCalibration.Identity),
        new Clock(1e7, 1, 1_000_000),
        new Beam(100e-12, 5, 30_000),
        new SettleModel(1e-6, 0, 0),
        WritesMarkers: false);

    /// <summary>Charge of one tick: 100 pA for 100 ns.</summary>
    public const long TickCharge = 10_000;

    public static List<DeflectionRecord> Scale(ScaleOptions options, params Stroke[] strokes) => Collect(options, strokes).Items;

    public static CollectingSink<RecordsHeader, DeflectionRecord> Collect(ScaleOptions options, params Stroke[] strokes)
    {
        var output = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var pass = new ScalePass(options, output);
        pass.Begin(new StrokesHeader(["pattern"]));
        pass.Write(strokes);
        pass.End();
        Assert.True(output.HasEnded);
        return output;
    }
}
