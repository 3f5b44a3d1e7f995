using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.DoseToSize;

/// <summary>The readings of a dose test in a table: a line for each square, bar or gap at each dose.</summary>
public static class DoseReadings
{
    private const int MostBars = 1000;

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
        double[] Optional(string name, Unit unit) => table.Has(name) ? table.Column(name, unit) : [.. Enumerable.Repeat(double.NaN, table.Count)];
        double[] drawn = table.PositiveColumn("drawn", Unit.Nanometre);
        double[] measured = Optional("measured", Unit.Nanometre);
        double[] thickness = Optional("thickness", Unit.Nanometre);
        double[] length = Optional("length", Unit.Nanometre);
        double[] bars = Optional("bars", Unit.One);
        double[] pitch = Optional("pitch", Unit.Nanometre);
        double[] beside = Optional("beside", Unit.Nanometre);
        return
        [
            .. Enumerable.Range(0, table.Count).Select(i =>
            {
                DoseFeatureKind kind = KindOf(features[i], i);
                int count = double.IsNaN(bars[i]) ? 1 : bars[i] is >= 1 and <= MostBars && bars[i] == Math.Floor(bars[i]) ? (int)bars[i] : throw Bad(i, $"'{NumberText.Format(bars[i])}' is no number of bars", $"write a whole number from 1 to {MostBars}");
                RequirePitch(i, kind, count, pitch[i], drawn[i]);
                RequireReading(i, kind, measured[i], thickness[i], verdicts?[i]);
                var feature = new DoseFeature(
                    kind,
                    drawn[i],
                    kind == DoseFeatureKind.Square ? drawn[i] : PositiveOr(length[i], i, "length"),
                    kind == DoseFeatureKind.Square ? 1 : count,
                    count > 1 ? pitch[i] : 0,
                    kind == DoseFeatureKind.Gap && count == 1 ? PositiveOr(beside[i], i, "beside") : double.PositiveInfinity);
                bool isSquare = kind == DoseFeatureKind.Square;
                return new DoseReading(
                    feature, doses[i], isSquare ? double.NaN : measured[i], isSquare ? thickness[i] : double.NaN, isSquare ? VerdictOf(verdicts?[i], i, verdictColumn) : null);
            }),
        ];
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

    private static void RequirePitch(int row, DoseFeatureKind kind, int bars, double pitch, double drawn)
    {
        if (kind == DoseFeatureKind.Square || (bars == 1 && double.IsNaN(pitch)))
        {
            return;
        }

        if (bars == 1)
        {
            throw Bad(row, "there is a pitch, but it is not said of how many bars", "write their number in the column 'bars'");
        }

        if (!(pitch > drawn))
        {
            throw Bad(
                row,
                double.IsNaN(pitch) ? $"{bars} bars have no pitch" : $"a pitch of {NumberText.Format(pitch)} nm leaves nothing beside the {NumberText.Format(drawn)} nm that are drawn",
                "write the distance from one bar to the next in the column 'pitch'");
        }
    }

    private static void RequireReading(int row, DoseFeatureKind kind, double measured, double thickness, string? verdict)
    {
        if (kind == DoseFeatureKind.Square ? double.IsNaN(thickness) && string.IsNullOrEmpty(verdict) : double.IsNaN(measured))
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
