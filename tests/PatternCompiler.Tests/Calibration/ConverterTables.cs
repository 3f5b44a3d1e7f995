using System.Globalization;
using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Converters;
using PatternCompiler.Diagnostics;
using PatternCompiler.Generate;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Calibration;

/// <summary>Readings of two outputs whose every fault is known, as a voltmeter's table.</summary>
internal sealed record ConverterTables
{
    public static Dac Dac { get; } = new(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode);

    public double GainX { get; init; } = 1.004;

    public double GainY { get; init; } = 0.997;

    public double OffsetX { get; init; } = 0.0125;

    public double OffsetY { get; init; } = -0.004;

    public double XFromY { get; init; } = 6e-4;

    public double YFromX { get; init; } = -3e-4;

    /// <summary>Where both amplifiers clip, in volts.</summary>
    public (double Low, double High) Ends { get; init; } = (-20, 20);

    /// <summary>By how many steps the largest carry jumps.</summary>
    public double CarrySteps { get; init; } = 3;

    public int CarryBits { get; init; } = 4;

    /// <summary>What a code of an output gives of its own.</summary>
    public double Own(char axis, int code)
    {
        double steps = code + (code >= Dac.CodeCount / 2 ? CarrySteps : 0);
        double volts = (axis == 'x' ? GainX : GainY) * (Dac.MinimumVolts + steps * Dac.LsbVolts) + (axis == 'x' ? OffsetX : OffsetY);
        return Math.Clamp(volts, Ends.Low, Ends.High);
    }

    public double Volts(char axis, int code, int other) => Own(axis, code) + (axis == 'x' ? XFromY * Own('y', other) : YFromX * Own('x', other));

    /// <summary>The table, every voltage changed by a function of its line's number.</summary>
    public string Text(Func<int, double, double>? change = null, string header = "axis, code, other, volts [V]")
    {
        var text = new StringBuilder(header + "\n");
        int row = 0;
        foreach (ConverterHold hold in ConverterHolds.Plan(Dac, CarryBits))
        {
            double volts = Volts(hold.Axis, hold.Code, hold.Other);
            text.Append(CultureInfo.InvariantCulture, $"{hold.Axis}, {hold.Code}, {hold.Other}, {(change is null ? volts : change(row, volts)):R}\n");
            row++;
        }

        return text.ToString();
    }

    /// <summary>Fits a table as the command does.</summary>
    public static ConverterFit Fit(string text, DiagnosticSink? sink = null, double? meterError = null)
    {
        MeasurementTable table = MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "r.csv", ConverterReadings.WordColumns);
        try
        {
            return ConverterFitter.Fit(ConverterReadings.Of(table, Dac, meterError), Dac, false, table.PlaceOf, sink ?? new DiagnosticSink());
        }
        catch (CompileException fault)
        {
            throw table.Locate(fault);
        }
    }
}
