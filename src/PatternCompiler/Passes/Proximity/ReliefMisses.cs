using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Passes.Proximity;

/// <summary>Tells which figures do not leave the height that is wanted of them, and by how much of the film.</summary>
internal static class ReliefMisses
{
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

        if (missed == 0)
        {
            return;
        }

        FigureBox box = FigureBox.Of(field.Figures[worst.Figure]);
        string At(double low, double high) => LengthText.Micrometres((long)Math.Round((low + high) / 2), header.GridPicometres);
        sink.Warn(
            ReliefCodes.Missed,
            string.Create(
                CultureInfo.InvariantCulture,
                $"{missed} of {all} figures with heights miss their energy by more than {options.Tolerance * 100:0.##}%; the worst, at ({At(box.XLow, box.XHigh)}, {At(box.YLow, box.YHigh)}) um on layer '{header.Layers[field.Figures[worst.Figure].Layer]}', leaves {worst.Left:0.###} of the film and not {worst.Wanted:0.###}"),
            SourcePlace.OfPoint(
                header.Layers[field.Figures[worst.Figure].Layer],
                (box.XLow + box.XHigh) / 2 * header.GridPicometres / 1000,
                (box.YLow + box.YHigh) / 2 * header.GridPicometres / 1000,
                worst.Figure),
            "draw bright neighbours farther away, steps wider than the forward range, or allow more iterations or dose classes",
            count: missed);
    }
}
