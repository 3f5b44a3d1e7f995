using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Converters;

/// <summary>Lines of a written target, and how far off they were found, as steps of the outputs that placed them.</summary>
internal static class WrittenLines
{
    private const double FemtometresPerNanometre = 1e6;

    /// <summary>Reads the columns axis, place and offset.</summary>
    /// <param name="table">The table.</param>
    /// <param name="machine">The machine that wrote the target.</param>
    public static IReadOnlyList<ConverterReading> Of(MeasurementTable table, Machine machine)
    {
        if (machine.Deflection is not { LinearityX: null, LinearityY: null })
        {
            throw new CompileException(
                CalibrationCodes.Contradiction,
                "the machine file corrects the outputs already, so that a target that it wrote shows what the correction leaves",
                fix: "name the machine file that wrote the target, without 'linearity_x' and 'linearity_y'");
        }

        string[] axes = ConverterReadings.Axes(table);
        double[] places = ConverterReadings.Whole(table, "place", Unit.Nanometre), offsets = ConverterReadings.Whole(table, "offset", Unit.Nanometre);
        var mapping = new DacMapping(machine.Dac, machine.Deflection);
        int middle = machine.Dac.CodeCount / 2;
        return [.. Enumerable.Range(0, table.Count).Select(Read)];

        ConverterReading Read(int i)
        {
            bool alongX = axes[i] == "x";
            long place = (long)Math.Round(places[i] * FemtometresPerNanometre);
            (double codeX, double codeY) = alongX ? mapping.CodesAt(place, 0) : mapping.CodesAt(0, place);
            bool isOutputX = alongX != machine.Deflection.SwapAxes;
            long code = DacMapping.Nearest(isOutputX ? codeX : codeY);
            double step = isOutputX ? mapping.NanometresPerCodeX : mapping.NanometresPerCodeY;
            return code >= 0 && code < machine.Dac.CodeCount
                ? new ConverterReading(i, isOutputX ? 'x' : 'y', (int)code, middle, code + offsets[i] / step, double.NaN)
                : throw new CompileException(new Diagnostic(
                    CalibrationCodes.ImpossibleValue,
                    Severity.Error,
                    $"no code leads to {NumberText.Format(places[i] / 1000)} um along {axes[i]}",
                    Fix: "name the machine file that wrote the target, and look for a wrong unit")
                { Measurement = i });
        }
    }
}
