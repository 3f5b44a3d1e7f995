using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Calibration;

/// <summary>
/// Draws how far marks were found from where they were asked to be: arrows before a fit, and what it leaves, each
/// lengthened by a round factor that the legend tells. Both axes have the same scale.
/// </summary>
internal static class ShiftPlot
{
    // The longest arrow of a kind takes this part of the distance between marks.
    private const double LongestArrow = 0.75;
    private const double HeadPart = 0.28;
    private const double UsualRoom = 0.1;
    private const double NanometresPerMicrometre = 1000;

    /// <summary>Composes a plot.</summary>
    /// <param name="title">What it shows.</param>
    /// <param name="facts">What is known of it.</param>
    /// <param name="asked">Word for where marks were asked to be.</param>
    /// <param name="measured">Word for where they were found.</param>
    /// <param name="placesNanometres">Where marks were asked to be.</param>
    /// <param name="before">How far off they were found, in nanometres.</param>
    /// <param name="after">What the fit leaves of that.</param>
    /// <param name="room">Around the marks, as a part of their spread.</param>
    public static Plot Compose(
        string title,
        string facts,
        string asked,
        string measured,
        IReadOnlyList<(double X, double Y)> placesNanometres,
        IReadOnlyList<(double X, double Y)> before,
        IReadOnlyList<(double X, double Y)> after,
        double room = UsualRoom)
    {
        (double X, double Y)[] places = [.. placesNanometres.Select(place => (place.X / NanometresPerMicrometre, place.Y / NanometresPerMicrometre))];
        (PlotAxis x, PlotAxis y) = AxesAround(places, asked, room);
        double spacing = Math.Sqrt((x.High - x.Low) * (y.High - y.Low) / Math.Max(1, places.Length));
        return new Plot(title, facts, x, y, [Arrows(measured, before, 1), Arrows("left by the fit", after, 0), new PlotSeries("mark", PlotMark.Dots, 3, [.. places])]);

        PlotSeries Arrows(string name, IReadOnlyList<(double X, double Y)> shifts, int hue)
        {
            double largest = shifts.Max(Length) / NanometresPerMicrometre;
            double factor = largest > 0 ? AxisTicks.RoundLengthUpTo(LongestArrow * spacing / largest) : 1;
            return new PlotSeries(
                $"{name}, {FactText.Round(factor)} times", PlotMark.Line, hue, [.. places.Zip(shifts).SelectMany(pair => Arrow(pair.First, pair.Second, factor / NanometresPerMicrometre))]);
        }
    }

    /// <summary>Shaft and head as one line, ended by a point that is not drawn.</summary>
    private static IEnumerable<(double X, double Y)> Arrow((double X, double Y) from, (double X, double Y) shift, double factor)
    {
        (double dx, double dy) = (shift.X * factor, shift.Y * factor);
        (double X, double Y) tip = (from.X + dx, from.Y + dy);
        (double X, double Y) Barb(int side) => (tip.X - (HeadPart * (dx - (side * 0.5 * dy))), tip.Y - (HeadPart * (dy + (side * 0.5 * dx))));
        return [from, tip, Barb(1), tip, Barb(-1), (double.NaN, double.NaN)];
    }

    /// <summary>Axes about the marks that give a micrometre the same length in x and y.</summary>
    private static (PlotAxis X, PlotAxis Y) AxesAround((double X, double Y)[] places, string asked, double room)
    {
        (double left, double right) = (places.Min(p => p.X), places.Max(p => p.X));
        (double bottom, double top) = (places.Min(p => p.Y), places.Max(p => p.Y));
        double height = Math.Max(Math.Max(top - bottom, (right - left) / PlotRenderer.Shape), 1e-3) * (1 + (2 * room));
        double width = height * PlotRenderer.Shape;
        return (
            new PlotAxis($"{asked} x (µm)", ((left + right) / 2) - (width / 2), ((left + right) / 2) + (width / 2)),
            new PlotAxis($"{asked} y (µm)", ((bottom + top) / 2) - (height / 2), ((bottom + top) / 2) + (height / 2)));
    }

    private static double Length((double X, double Y) shift) => Math.Sqrt((shift.X * shift.X) + (shift.Y * shift.Y));
}
