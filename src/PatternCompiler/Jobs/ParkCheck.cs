using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Sees that a beam that is never quite off waits away from the pattern.</summary>
internal static class ParkCheck
{
    // Beyond this many ranges a Gaussian term of the spread has 2% of its energy left.
    private const double ReachInRanges = 2;
    private const double NanometresPerFemtometre = 1e-6;

    /// <summary>Warns if the place lies in the pattern's bounds, or so close to them that scattered electrons reach it.</summary>
    public static void Run(FiguresDocument figures, Machine machine, Resist process, (long X, long Y)? park, DiagnosticSink sink)
    {
        bool isOff = machine.Blanker is { IsPresent: true, LeakFraction: 0 };
        if (park is not (long parkX, long parkY) || isOff || figures.Figures.Count == 0)
        {
            return;
        }

        double grid = figures.Header.GridPicometres * 1e-3;
        FigureBox[] boxes = [.. figures.Figures.Select(figure => FigureBox.Of(figure))];
        double x = parkX * NanometresPerFemtometre;
        double y = parkY * NanometresPerFemtometre;
        double dx = Math.Max(0, Math.Max(boxes.Min(b => b.XLow) * grid - x, x - boxes.Max(b => b.XHigh) * grid));
        double dy = Math.Max(0, Math.Max(boxes.Min(b => b.YLow) * grid - y, y - boxes.Max(b => b.YHigh) * grid));
        double distance = Math.Sqrt(dx * dx + dy * dy);
        double reach = ReachInRanges * process.SpreadWith(machine.Beam).Terms.Max(term => term.RangeNanometres);
        if (distance >= reach)
        {
            return;
        }

        string where = distance == 0 ? "inside the pattern's bounds" : $"only {Length(distance)} from the pattern, where electrons scatter {Length(reach)} far";
        sink.Warn(
            OrderCodes.ParkOnPattern,
            $"the beam waits at ({Micrometres(x)}, {Micrometres(y)}) um, {where}, and is not off there",
            fix: "give another place as 'park' in the machine file, or move the pattern");
    }

    private static string Length(double nanometres) => QuantityText.Format(nanometres * 1e-9, Dimension.Length, 3);

    private static string Micrometres(double nanometres) => QuantityText.Format(nanometres * 1e-3, Dimension.Fraction, 5);
}
