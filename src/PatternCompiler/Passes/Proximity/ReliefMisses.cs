using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>Tells which figures do not leave the height that is wanted of them, and by how much of the film.</summary>
internal static class ReliefMisses
{
    // From here on the middle of a strip gets more than 94 % of a large area's forward energy.
    private const double NarrowRanges = 2.7;

    /// <summary>Warns of figures whose energy misses the tolerance.</summary>
    public static void Report(ScatteredField field, ProximityOptions options, FiguresHeader header, DiagnosticSink sink)
    {
        if (options.Response is not ResistResponse response)
        {
            return;
        }

        (int all, int missed) = (0, 0);
        (int Figure, double Wanted, double Left) worst = default;
        for (int figure = 0; figure < field.Figures.Count; figure++)
        {
            if (!field.HasHeight(figure) || field.TargetOf(figure) == 0)
            {
                continue;
            }

            all++;
            double ratio = field.MeanEnergyOverTarget(figure);
            if (Math.Abs(ratio - 1) <= options.Tolerance)
            {
                continue;
            }

            double wanted = response.RemainingFraction(field.TargetOf(figure) * options.AreaDoseCoulombsPerSquareMetre);
            double left = response.RemainingFraction(ratio * field.TargetOf(figure) * options.AreaDoseCoulombsPerSquareMetre);
            if (missed++ == 0 || Math.Abs(left - wanted) > Math.Abs(worst.Left - worst.Wanted))
            {
                worst = (figure, wanted, left);
            }
        }

        if (missed > 0)
        {
            sink.Warn(
                ReliefCodes.Missed,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{missed} of {all} figures with heights miss their energy by more than {options.Tolerance * 100:0.##}%; the worst leaves {worst.Left:0.###} of the film and not {worst.Wanted:0.###}"),
                PlaceOf(worst.Figure, field, header),
                "draw bright neighbours farther away, steps wider than the forward range, or allow more iterations or dose classes",
                count: missed);
        }

        ReportNarrow(field, response, options, header, sink);
    }

    private static void ReportNarrow(ScatteredField field, ResistResponse response, ProximityOptions options, FiguresHeader header, DiagnosticSink sink)
    {
        (int Figure, double Ratio)[] narrow = [.. field.TooNarrow()];
        if (narrow.Length == 0)
        {
            return;
        }

        (int figure, double ratio) = narrow.MinBy(found => found.Ratio);
        double target = field.TargetOf(figure) * options.AreaDoseCoulombsPerSquareMetre;
        sink.Warn(
            ReliefCodes.Missed,
            string.Create(
                CultureInfo.InvariantCulture,
                $"{narrow.Length} figures with heights stand alone and are so narrow that electrons which scatter forward leave them; the worst leaves {response.RemainingFraction(ratio * target):0.###} of the film in its middle and not {response.RemainingFraction(target):0.###}"),
            PlaceOf(figure, field, header),
            string.Create(CultureInfo.InvariantCulture, $"draw them wider than {NarrowRanges * options.Spread.Terms[0].RangeNanometres:0} nm, or give them another height and look with 'simulate'"),
            count: narrow.Length);
    }

    private static SourcePlace PlaceOf(int number, ScatteredField field, FiguresHeader header)
    {
        FigureBox box = FigureBox.Of(field.Figures[number]);
        double half = header.GridPicometres / 2000.0;
        return SourcePlace.OfPoint(header.Layers[field.Figures[number].Layer], (box.XLow + box.XHigh) * half, (box.YLow + box.YHigh) * half, number);
    }
}
