using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.StageFrame;

/// <summary>A table of readings of the stage: the mark in view, where it lies or where it was seen, and from which side the stage came.</summary>
internal static class StageReadings
{
    /// <summary>The columns that hold words.</summary>
    public static readonly string[] WordColumns = ["mark", "from x", "from y"];

    private const string Below = "below";
    private const string Above = "above";

    // More than anyone reads; leaving each out takes time.
    private const int MostReadings = 1000;

    /// <summary>
    /// Reads the columns mark, reading x and y; place x and y, or seen x and y, or both; and where there are any, from x and y (below or
    /// above), uncertainty or uncertainty x and y, and focus.
    /// </summary>
    /// <exception cref="CompileException">The table lacks something, or a line cannot be meant.</exception>
    public static IReadOnlyList<StageReading> Of(MeasurementTable table)
    {
        string[] names = table.Words("mark") ?? throw Bad("there is no column 'mark'", "add a column 'mark' with a name for each, so that one that is left out can be named");
        if (table.Count > MostReadings)
        {
            throw Bad($"the table has {table.Count} readings, more than {MostReadings}", "fit those of one sample");
        }

        (double[]? placeX, double[]? placeY) = Pair("place");
        (double[]? seenX, double[]? seenY) = Pair("seen");
        if (placeX is null && seenX is null)
        {
            throw Bad(
                "the table says neither where marks lie ('place x', 'place y') nor where in the beam's field they were seen ('seen x', 'seen y')",
                "add one of the two; of a mark that is brought to several places of the field, where it was seen is enough");
        }

        double[] readingX = Whole("reading x"), readingY = Whole("reading y");
        (double[]? errorX, double[]? errorY) = table.Has("uncertainty") ? (Errors("uncertainty"), Errors("uncertainty")) : (Errors("uncertainty x"), Errors("uncertainty y"));
        if (errorX is null != errorY is null)
        {
            throw Bad("the uncertainty is stated along one axis alone", "add the other column, or one column 'uncertainty [nm]' for both");
        }

        bool[] aboveX = Sides("from x"), aboveY = Sides("from y");
        double[]? focus = table.Has("focus") ? table.Column("focus", Unit.Nanometre) : null;
        string[] unique = Numbered(names);
        return
        [
            .. Enumerable.Range(0, table.Count).Select(i => new StageReading(
                unique[i], placeX?[i] ?? 0, placeY?[i] ?? 0, seenX?[i] ?? 0, seenY?[i] ?? 0, readingX[i], readingY[i], errorX?[i] ?? double.NaN, errorY?[i] ?? double.NaN,
                aboveX[i], aboveY[i], focus?[i] ?? double.NaN)),
        ];

        (double[]? X, double[]? Y) Pair(string column) => table.Has(column + " x") || table.Has(column + " y") ? (Whole(column + " x"), Whole(column + " y")) : (null, null);

        double[]? Errors(string column)
        {
            double[]? errors = table.Has(column) ? table.Column(column, Unit.Nanometre) : null;
            int bad = errors is null ? -1 : Array.FindIndex(errors, error => !(error > 0));
            return bad < 0 ? errors : throw At(bad, $"the uncertainty of mark '{names[bad]}' must be above zero", "give its standard error, or leave the columns of uncertainties out");
        }

        double[] Whole(string column)
        {
            double[] values = table.Column(column, Unit.Nanometre);
            int bad = Array.FindIndex(values, double.IsNaN);
            return bad < 0 ? values : throw At(bad, $"'{column}' is left empty", "complete the line, or put # in front of it");
        }

        bool[] Sides(string column)
        {
            string[] words = table.Words(column) ?? [.. names.Select(_ => Below)];
            int bad = Array.FindIndex(words, word => word is not (Below or Above or ""));
            return bad < 0 ? [.. words.Select(word => word == Above)] : throw At(bad, $"'{column}' is '{PrintedText.Of(words[bad])}'", $"write '{Below}' where the stage came up to the reading, '{Above}' where it came down");
        }
    }

    // Several readings of a mark tell themselves apart.
    private static string[] Numbered(string[] names)
    {
        Dictionary<string, int> counts = names.GroupBy(name => name, StringComparer.Ordinal).ToDictionary(group => group.Key, group => group.Count(), StringComparer.Ordinal);
        Dictionary<string, int> met = new(StringComparer.Ordinal);
        HashSet<string> taken = new(StringComparer.Ordinal);
        return
        [
            .. names.Select((name, row) =>
            {
                if (name.Length == 0)
                {
                    throw At(row, "the mark has no name", "give each mark a name");
                }

                met[name] = met.GetValueOrDefault(name) + 1;
                string numbered = counts[name] == 1 ? name : string.Create(CultureInfo.InvariantCulture, $"{name} {met[name]}");
                return taken.Add(numbered) ? numbered : throw At(row, $"two readings would both be called '{numbered}'", "give each mark a name of its own");
            }),
        ];
    }

    private static CompileException Bad(string message, string fix) => new(CalibrationCodes.BadTable, message, fix: fix);

    private static CompileException At(int row, string message, string fix) =>
        new(new Diagnostic(CalibrationCodes.ImpossibleValue, Severity.Error, message, Fix: fix) { Measurement = row });
}
