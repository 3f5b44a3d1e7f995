using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Alignment;

/// <summary>A table of marks: name, where each is wanted, where it was found, and how well.</summary>
internal static class MarkTable
{
    /// <summary>The columns that hold words.</summary>
    public static readonly string[] WordColumns = ["mark"];

    // What a careful calibration of the field leaves: common practice, no source.
    private const double UsualFieldErrorNanometres = 5;

    /// <summary>More marks than anyone writes; leaving each out takes time.</summary>
    private const int MostMarks = 10_000;

    /// <summary>Reads the columns mark, wanted x and y, found x and y, and where there are any, uncertainty or uncertainty x and y.</summary>
    /// <param name="table">The table.</param>
    /// <param name="fieldErrorNanometres">Standard error of any place in the field, beside each mark's own; null for the usual one where marks have their own.</param>
    public static IReadOnlyList<AlignmentMark> Of(MeasurementTable table, double? fieldErrorNanometres)
    {
        string[] names = table.Words("mark") ?? throw new CompileException(
            CalibrationCodes.BadTable, "there is no column 'mark'", fix: "add a column 'mark' with a name for each, so that one that is left out can be named");
        if (table.Count > MostMarks)
        {
            throw new CompileException(CalibrationCodes.BadTable, $"the table has {table.Count} marks, more than {MostMarks}", fix: "fit those of one layer");
        }

        double[] wantedX = Whole("wanted x"), wantedY = Whole("wanted y");
        double[] foundX = table.Column("found x", Unit.Nanometre), foundY = table.Column("found y", Unit.Nanometre);
        bool isOne = table.Has("uncertainty");
        double[]? errorX = Errors(isOne ? "uncertainty" : "uncertainty x"), errorY = Errors(isOne ? "uncertainty" : "uncertainty y");
        if (errorX is null != errorY is null)
        {
            throw new CompileException(CalibrationCodes.BadTable, "the uncertainty is stated along one axis alone", fix: "add the other column, or one column 'uncertainty [nm]' for both");
        }

        var known = new HashSet<string>(StringComparer.Ordinal);
        var marks = new AlignmentMark[table.Count];
        for (int i = 0; i < marks.Length; i++)
        {
            if (names[i].Length == 0 || !known.Add(names[i]))
            {
                throw At(i, names[i].Length == 0 ? "the mark has no name" : $"two marks are called '{names[i]}'", "give each mark a name of its own");
            }

            if (double.IsNaN(foundX[i]) != double.IsNaN(foundY[i]))
            {
                throw At(i, $"mark '{names[i]}' was found along one axis alone", "give both coordinates, or leave both empty for a mark that was not found");
            }

            if (errorX is not null && !double.IsNaN(foundX[i]) && !(errorX[i] > 0 && errorY![i] > 0))
            {
                throw At(i, $"the uncertainty of mark '{names[i]}' must be above zero", "give its standard error, or leave the columns of uncertainties out");
            }

            marks[i] = new(names[i], wantedX[i], wantedY[i], foundX[i], foundY[i], Together(errorX?[i]), Together(errorY?[i]));
        }

        return marks;

        // Without any error stated there is none.
        double Together(double? own) => own is null && fieldErrorNanometres is null or 0
            ? double.NaN
            : Math.Sqrt(Square(own ?? 0) + Square(fieldErrorNanometres ?? UsualFieldErrorNanometres));

        double[]? Errors(string column) => table.Has(column) ? table.Column(column, Unit.Nanometre) : null;

        double[] Whole(string column)
        {
            double[] values = table.Column(column, Unit.Nanometre);
            int bad = Array.FindIndex(values, double.IsNaN);
            return bad < 0 ? values : throw At(bad, $"'{column}' is left empty", "say where the drawing has the mark");
        }
    }

    private static double Square(double value) => value * value;

    private static CompileException At(int row, string message, string fix) =>
        new(new Diagnostic(CalibrationCodes.ImpossibleValue, Severity.Error, message, Fix: fix) { Measurement = row });
}
