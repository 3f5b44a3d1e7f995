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
        Fit.X, 0.000518570700478449, 0.0005153823648969735, 0.0005217590360599245, 0.18941232230226798,
        [-78.63786755341712, 22.828820446571626, 25.597140446552658, 126.50677244659164], 0.3145339027952519, 0.0012152660301230753, 7.359382664823298);

    [Fact]
    public void The_y_output() => Holds(
        Fit.Y, -0.00028922406636411324, -0.0002921904383381699, -0.00028625769439005657, 0.17717271555174735,
        [31.709811526721335, -38.544204473295395, -43.39444447329879, -114.45127647328627], -0.22593278472920092, 0.00182821086462634, -12.585065349487012);

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
