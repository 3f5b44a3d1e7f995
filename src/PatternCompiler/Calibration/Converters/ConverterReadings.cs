using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Converters;

/// <summary>A table of a voltmeter's readings as steps of the machine's converters.</summary>
internal static class ConverterReadings
{
    /// <summary>The columns that hold words.</summary>
    public static readonly string[] WordColumns = ["axis"];

    /// <summary>Reads the columns axis, code, other, volts and, where there is one, uncertainty.</summary>
    /// <param name="table">The table.</param>
    /// <param name="dac">The converters.</param>
    /// <param name="meterErrorVolts">Standard error of a reading; null where the table or nobody says.</param>
    public static IReadOnlyList<ConverterReading> Of(MeasurementTable table, Dac dac, double? meterErrorVolts)
    {
        string[] axes = Axes(table);
        int[] codes = Codes(table, "code", dac), others = Codes(table, "other", dac);
        double[] volts = Whole(table, "volts", Unit.Volt);
        double[]? errors = table.Has("uncertainty") ? table.PositiveColumn("uncertainty", Unit.Volt) : null;
        if (errors is not null && meterErrorVolts is not null)
        {
            throw new CompileException(
                CommandCodes.WrongUsage, "the error of the readings is stated by the column 'uncertainty' and by --meter-error", new SourcePlace("patternc fit"), "leave one of them out");
        }

        return
        [
            .. Enumerable.Range(0, table.Count).Select(i => new ConverterReading(
                i, axes[i][0], codes[i], others[i], (volts[i] - dac.MinimumVolts) / dac.LsbVolts, (errors?[i] ?? meterErrorVolts ?? double.NaN) / dac.LsbVolts)),
        ];
    }

    /// <summary>The column of axes: x or y.</summary>
    internal static string[] Axes(MeasurementTable table)
    {
        string[] axes = table.Words("axis") ?? throw new CompileException(CalibrationCodes.BadTable, "there is no column 'axis'", fix: "add a column 'axis' that says x or y, the output that was read");
        int bad = Array.FindIndex(axes, axis => axis is not ("x" or "y"));
        return bad < 0 ? axes : throw At(bad, $"'axis' must be x or y, but it is '{axes[bad]}'");
    }

    /// <summary>A column that has a number in every line.</summary>
    internal static double[] Whole(MeasurementTable table, string column, Unit unit)
    {
        double[] values = table.Column(column, unit);
        int bad = Array.FindIndex(values, double.IsNaN);
        return bad < 0 ? values : throw At(bad, $"'{column}' is left empty");
    }

    private static int[] Codes(MeasurementTable table, string column, Dac dac)
    {
        double[] codes = Whole(table, column, Unit.One);
        int bad = Array.FindIndex(codes, code => code != Math.Floor(code) || code < 0 || code >= dac.CodeCount);
        return bad < 0 ? [.. codes.Select(code => (int)code)] : throw At(
            bad, $"'{column}' must be a code from 0, the lowest voltage, to {dac.CodeCount - 1}, but it is {NumberText.Format(codes[bad])}");
    }

    private static CompileException At(int row, string message) => new(
        new Diagnostic(CalibrationCodes.ImpossibleValue, Severity.Error, message, Fix: "correct the line, or put # in front of it") { Measurement = row });
}
