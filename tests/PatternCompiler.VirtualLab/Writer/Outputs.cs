using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;

namespace PatternCompiler.VirtualLab.Writer;

/// <summary>From the codes of a stream to the voltages at the microscope's scan inputs.</summary>
public sealed class Outputs
{
    private readonly double[] ownX;
    private readonly double[] ownY;
    private readonly double xFromY;
    private readonly double yFromX;

    /// <param name="truth">The lab.</param>
    /// <param name="header">The stream's header, for range and bits.</param>
    public Outputs(LabTruth truth, StreamHeader header)
    {
        (ConverterTruth x, ConverterTruth y) = header.SwapsAxes ? (truth.ConverterY, truth.ConverterX) : (truth.ConverterX, truth.ConverterY);
        (AmplifierTruth behindX, AmplifierTruth behindY) = header.SwapsAxes ? (truth.AmplifierY, truth.AmplifierX) : (truth.AmplifierX, truth.AmplifierY);
        (ownX, ownY) = (Own(header, x, behindX), Own(header, y, behindY));
        (xFromY, yFromX) = (behindX.FromOther, behindY.FromOther);
    }

    /// <summary>Voltages of both.</summary>
    public (double X, double Y) VoltsAt(int codeX, int codeY) => (ownX[codeX] + (xFromY * ownY[codeY]), ownY[codeY] + (yFromX * ownX[codeX]));

    private static double[] Own(StreamHeader header, ConverterTruth converter, AmplifierTruth amplifier)
    {
        int codes = 1 << header.Bits;
        double step = (header.HighestVolts - header.LowestVolts) / (header.EndsAtLastCode ? codes - 1 : codes);
        var volts = new double[codes];
        for (int code = 0; code < codes; code++)
        {
            volts[code] = amplifier.Own(header.LowestVolts + (step * converter.StepsOf(code, header.Bits)));
        }

        return volts;
    }
}
