using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Converters;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;

namespace PatternCompiler.Oracles.Calibration;

/// <summary>
/// Readings of two outputs fitted as one least-squares problem each by NumPy 1.24.2 (<c>linalg.lstsq</c>, <c>polyfit</c>) and SciPy's
/// quantiles: <c>converter_reference.py</c> beside this file prints the values expected here from the same table.
/// </summary>
public sealed class ConverterReferenceTests
{
    private static readonly ConverterFit Fit = Fitted();

    [Fact]
    public void The_x_output() => Holds(
        Fit.X, 0.0005185707005079766, 0.0005153823649264978, 0.0005217590360894554, 0.18941232230247304,
        [-78.63786755341756, 22.828820446584402, 25.597140446583573, 126.50677244658249], 0.3145339027952949, 0.0012152660301156168, 7.359382664824962);

    [Fact]
    public void The_y_output() => Holds(
        Fit.Y, -0.00028922406703119324, -0.00029219043900526026, -0.0002862576950571262, 0.17717271555236622,
        [31.70981152672511, -38.54420447327236, -43.39444447327574, -114.45127647327416], -0.22593278472911996, 0.0018282108646254856, -12.585065349486525);

    private static void Holds(OutputFit output, double crosstalk, double low, double high, double rms, double[] levels, double gain, double gainError, double offset)
    {
        Assert.Equal(crosstalk, output.Crosstalk!.Value, 1e-14);
        Assert.Equal(low, output.Crosstalk.Low, 1e-12);
        Assert.Equal(high, output.Crosstalk.High, 1e-12);
        Assert.Equal(rms, output.Residuals.RootMeanSquare, 1e-9);
        int[] codes = [0, 32767, 32768, 65535];
        Assert.Equal(levels, codes.Select(code => output.Levels.Single(level => level.Code == code).DeviationSteps), (a, b) => Math.Abs(a - b) < 1e-8);
        Assert.Equal(gain, output.GainError.Value, 1e-10);
        Assert.Equal(gainError, output.GainError.StandardError, 1e-12);
        Assert.Equal(offset, output.Offset.Value, 1e-9);
    }

    private static ConverterFit Fitted()
    {
        var dac = new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode);
        using FileStream file = File.OpenRead(Path.Combine(AppContext.BaseDirectory, "Data", "converter-readings.csv"));
        MeasurementTable table = MeasurementTable.Read(file, file.Name, ConverterReadings.WordColumns);
        return ConverterFitter.Fit(ConverterReadings.Of(table, dac, null), dac, false, table.PlaceOf, new DiagnosticSink());
    }
}
