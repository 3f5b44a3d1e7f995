using System.Globalization;
using System.Text;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;

namespace PatternCompiler.VirtualLab.Bench;

/// <summary>
/// A table of places, filled in as somebody would who walks from one to the next with a profiler and the microscope's ruler: the width of what is
/// there along x, the thickness of the film where the feature is a square, the radius where the table asks for that. A row where nothing can be
/// measured gets a # in front of it.
/// </summary>
public static class ReadingsTable
{
    public const double StepNanometres = 5;
    private const double SquareNanometres = 200;
    private const double BarHeightNanometres = 400;
    private const double LeastReach = 500;
    private const double MostReach = 4000;
    private const double RadiusNoiseNanometres = 3;
    private const int Directions = 12;

    /// <param name="table">Columns 'x [um]' and 'y [um]', and either 'radius [nm]' or 'feature', 'drawn [nm]', 'measured [nm]' and 'thickness [nm]'.</param>
    /// <param name="sample">The sample.</param>
    /// <param name="dice">Noise of the readings.</param>
    public static string Filled(string table, Sample sample, Dice dice)
    {
        var text = new StringBuilder();
        var meter = new Meter(dice);
        string[]? columns = null;
        foreach (string line in table.Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            if (line.StartsWith('#') || columns is null)
            {
                columns ??= line.StartsWith('#') ? null : [.. line.Split(',').Select(name => name.Trim())];
                text.Append(line).Append('\n');
                continue;
            }

            string[] cells = line.Split(',');
            bool isRead = Fill(columns, cells, sample, meter, dice);
            text.Append(isRead ? "" : "# ").AppendJoin(',', cells).Append('\n');
        }

        return text.ToString();
    }

    private static bool Fill(string[] columns, string[] cells, Sample sample, Meter meter, Dice dice)
    {
        int At(string column) => Array.IndexOf(columns, column) is >= 0 and var index ? index : throw new InvalidDataException($"the table has no column '{column}'");
        double Number(string column) => double.Parse(cells[At(column)], CultureInfo.InvariantCulture);
        (double x, double y) = (1000 * Number("x [um]"), 1000 * Number("y [um]"));
        if (columns.Contains("radius [nm]"))
        {
            return Put("radius [nm]", Radius(sample, x, y, dice));
        }

        string feature = cells[At("feature")].Trim();
        if (feature == "square")
        {
            return Put("thickness [nm]", meter.Thickness(sample.Develop(SampleWindow.Around(x, y, SquareNanometres, SquareNanometres), StepNanometres), x, y));
        }

        double reach = Math.Max(LeastReach, Number("drawn [nm]"));
        DevelopedFilm film = sample.Develop(SampleWindow.Around(x, y, 2 * reach, BarHeightNanometres), StepNanometres);
        double? width = Meter.Prints(film, x, y) == (feature == "bar") ? meter.Width(film, x, y, isAlongX: true, reach) : null;

        // A gap as wide as the pitch is none: the bars beside it are not there.
        bool isGone = columns.Contains("pitch [nm]") && cells[At("pitch [nm]")] is { Length: > 0 } pitch && width >= double.Parse(pitch, CultureInfo.InvariantCulture);
        return Put("measured [nm]", isGone ? null : width);

        bool Put(string column, double? value)
        {
            cells[At(column)] = value?.ToString(CultureInfo.InvariantCulture) ?? "";
            return value is not null;
        }
    }

    // The mean of some directions; a dot that is not there has none.
    private static double? Radius(Sample sample, double x, double y, Dice dice)
    {
        for (double reach = LeastReach; reach <= MostReach; reach *= 2)
        {
            DevelopedFilm film = sample.Develop(SampleWindow.Around(x, y, 2 * reach, 2 * reach), StepNanometres);
            if (!Meter.Prints(film, x, y))
            {
                return null;
            }

            double?[] radii =
            [
                .. Enumerable.Range(0, Directions).Select(i => Math.SinCos(2 * Math.PI * i / Directions)).Select(way => film.DistanceToEdge(x, y, way.Cos, way.Sin, reach)),
            ];
            if (radii.All(radius => radius is not null))
            {
                double mean = Math.Round(radii.Average()!.Value + dice.Normal(0, RadiusNoiseNanometres));
                return mean > 0 ? mean : null;
            }
        }

        return null;
    }
}
