using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.DoseToSize;

/// <summary>The readings of a dose test in a table: a line for each square, bar or gap at each dose.</summary>
internal static class DoseReadings
{
    private const int MostBars = 1000;

    private static readonly (string Name, Unit Unit)[] OptionalColumns =
    [
        ("measured", Unit.Nanometre), ("thickness", Unit.Nanometre), ("length", Unit.Nanometre), ("bars", Unit.One), ("pitch", Unit.Nanometre), ("beside", Unit.Nanometre),
    ];

    /// <summary>Columns of words.</summary>
    public static IReadOnlyList<string> WordColumns { get; } = ["feature", "cleared", "stands"];

    /// <summary>Reads them.</summary>
    /// <param name="table">The table.</param>
    /// <param name="doses">The dose of each line, in µC/cm².</param>
    /// <param name="tone">What exposure does to the resist: squares of a positive one are 'cleared', of a negative one they 'stand'.</param>
    public static IReadOnlyList<DoseReading> Of(MeasurementTable table, IReadOnlyList<double> doses, ResistTone tone)
    {
        string[] features = table.Words("feature") ?? throw new CompileException(
            CalibrationCodes.BadFeature, "there is no column 'feature'", fix: "add one that says square, bar or gap in each line");
        ToneWords words = ToneWords.Of(tone);
        (string verdictColumn, string other) = (words.Printed, tone == ResistTone.Positive ? "stands" : "cleared");
        if (table.Has(other))
        {
            throw new CompileException(
                CalibrationCodes.WrongTone,
                $"the column '{other}' belongs to a {words.Opposite} resist",
                fix: $"state --tone {words.Opposite}, or name the column '{verdictColumn}'");
        }

        string[]? verdicts = table.Words(verdictColumn);
        double[] drawn = table.PositiveColumn("drawn", Unit.Nanometre);
        double[][] optional = [.. OptionalColumns.Select(column => table.Has(column.Name) ? table.Column(column.Name, column.Unit) : [.. Enumerable.Repeat(double.NaN, table.Count)])];
        return
        [
            .. Enumerable.Range(0, table.Count).Select(i =>
            {
                DoseFeatureKind kind = KindOf(features[i], i);
                bool? prints = VerdictOf(verdicts?[i], i, verdictColumn);
                double[] cells = [.. optional.Select(column => column[i])];
                RefuseForeign(i, kind, cells, verdictColumn, prints is not null);
                (double measured, double thickness, double length, double bars, double pitch, double beside) = (cells[0], cells[1], cells[2], cells[3], cells[4], cells[5]);
                RequireReading(i, kind, measured, thickness, prints);
                int count = BarsOf(bars, pitch, drawn[i], i);
                return new DoseReading(
                    new DoseFeature(
                        kind,
                        drawn[i],
                        kind == DoseFeatureKind.Square ? drawn[i] : PositiveOr(length, i, "length"),
                        count,
                        count > 1 ? pitch : 0,
                        PositiveOr(beside, i, "beside")),
                    doses[i], measured, thickness, prints);
            }),
        ];
    }

    // A number that its feature has no use for would be lost.
    private static void RefuseForeign(int row, DoseFeatureKind kind, double[] cells, string verdictColumn, bool hasVerdict)
    {
        (string name, string[] own) = kind switch
        {
            DoseFeatureKind.Square => ("square", ["thickness", verdictColumn]),
            DoseFeatureKind.Bar => ("bar", ["measured", "length", "bars", "pitch"]),
            _ when cells[3] > 1 => ("gap between bars", ["measured", "length", "bars", "pitch"]),
            _ => ("gap", (string[])["measured", "length", "bars", "pitch", "beside"]),
        };
        string? foreign = OptionalColumns.Where((column, i) => !double.IsNaN(cells[i]) && !own.Contains(column.Name)).Select(column => column.Name).FirstOrDefault()
            ?? (hasVerdict && !own.Contains(verdictColumn) ? verdictColumn : null);
        if (foreign is not null)
        {
            throw Bad(row, $"'{foreign}' says nothing of a {name}", $"leave the cell empty; columns of a {name} are {string.Join(", ", own)}");
        }
    }

    private static int BarsOf(double bars, double pitch, double drawn, int row)
    {
        if (double.IsNaN(bars) || bars == 1)
        {
            return double.IsNaN(pitch) ? 1 : throw Bad(row, "there is a pitch, but it is not said of how many bars", "write their number in the column 'bars'");
        }

        if (!(bars >= 1 && bars <= MostBars && bars == Math.Floor(bars)))
        {
            throw Bad(row, $"'{NumberText.Format(bars)}' is no number of bars", $"write a whole number from 1 to {MostBars}");
        }

        return pitch > drawn ? (int)bars : throw Bad(
            row,
            double.IsNaN(pitch) ? $"{NumberText.Format(bars)} bars have no pitch" : $"a pitch of {NumberText.Format(pitch)} nm leaves nothing beside the {NumberText.Format(drawn)} nm that are drawn",
            "write the distance from one bar to the next in the column 'pitch'");
    }

    private static DoseFeatureKind KindOf(string word, int row) => word.ToLowerInvariant() switch
    {
        "square" => DoseFeatureKind.Square,
        "bar" => DoseFeatureKind.Bar,
        "gap" => DoseFeatureKind.Gap,
        _ => throw Bad(row, word.Length == 0 ? "the feature is not named" : $"'{word}' is no feature", "write square, bar or gap"),
    };

    private static bool? VerdictOf(string? word, int row, string column) => word?.ToLowerInvariant() switch
    {
        null or "" => null,
        "yes" => true,
        "no" => false,
        _ => throw Bad(row, $"'{word}' in column '{column}' is neither yes nor no", "write yes or no, or leave the cell empty"),
    };

    private static void RequireReading(int row, DoseFeatureKind kind, double measured, double thickness, bool? prints)
    {
        if (kind == DoseFeatureKind.Square ? double.IsNaN(thickness) && prints is null : double.IsNaN(measured))
        {
            throw Bad(
                row,
                "the line has no reading",
                kind == DoseFeatureKind.Square
                    ? "a square has its 'thickness', or yes or no in 'cleared' (positive resist) or 'stands' (negative)"
                    : "a bar or gap has its 'measured' width; leave out those that did not print");
        }

        if (measured <= 0 || thickness < 0)
        {
            throw new CompileException(new Diagnostic(
                CalibrationCodes.ImpossibleValue, Severity.Error, measured <= 0 ? "a measured width must be above zero" : "a thickness must not be below zero", Fix: "correct the line, or put # in front of it")
            {
                Measurement = row,
            });
        }
    }

    private static double PositiveOr(double value, int row, string column) => double.IsNaN(value) ? double.PositiveInfinity
        : value > 0 ? value
        : throw Bad(row, $"'{column}' must be above zero", "correct the line, or leave the cell empty for a long one");

    private static CompileException Bad(int row, string problem, string fix) =>
        new(new Diagnostic(CalibrationCodes.BadFeature, Severity.Error, problem, Fix: fix) { Measurement = row });
}
