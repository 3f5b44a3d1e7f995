using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Measure;

/// <summary>What was measured as tables: comma-separated text that the fits take, with the unit of every column in its name.</summary>
internal static class MeasureTables
{
    /// <summary>All lines and gaps.</summary>
    /// <exception cref="CompileException">There are none.</exception>
    public static string Widths(MeasuredPicture measured, string name)
    {
        Require(measured.Widths.Length, "no line or gap with both edges", name);
        var text = new StringBuilder("feature, drawn [nm], length [um], factor, measured [nm], low [nm], high [nm], width roughness [nm], edge roughness [nm], places, x [um], y [um]\n");
        foreach (MeasuredWidth width in measured.Widths)
        {
            Row(
                text, Feature(width), Number(width.DrawnNanometres), Micrometres(width.LengthNanometres), Number(width.DoseFactor, 6),
                Number(width.WidthNanometres), Number(width.LowNanometres), Number(width.HighNanometres),
                Number(width.WidthRoughnessNanometres), Number(width.EdgeRoughnessNanometres),
                width.Places.ToString(CultureInfo.InvariantCulture), Micrometres(width.XNanometres), Micrometres(width.YNanometres));
        }

        return text.ToString();
    }

    /// <summary>
    /// Squares, bars and gaps of a dose test, as 'fit dose' takes them: bars and gaps that stand alone or in the middle of several,
    /// with the dose factor that they were written with.
    /// </summary>
    /// <param name="measured">What was measured.</param>
    /// <param name="isPositive">What is exposed is cleared; else it stands.</param>
    /// <param name="name">The picture, for messages.</param>
    /// <exception cref="CompileException">There are none.</exception>
    public static string Doses(MeasuredPicture measured, bool isPositive, string name)
    {
        MeasuredSquare[] squares = [.. measured.Squares.Where(square => square.Prints is not null && !double.IsNaN(square.DoseFactor))];
        ImmutableArray<MeasuredWidth> widths =
        [
            .. measured.Widths.Where(width => width.Bars > 0 && !double.IsNaN(width.DoseFactor) && width.LengthNanometres >= 3 * width.DrawnNanometres
                && (!width.IsGap || width.Bars > 1 || !double.IsNaN(width.BesideNanometres))),
        ];
        Require(squares.Length + widths.Length, "no square, bar or gap of a dose test", name);
        var text = new StringBuilder($"feature, drawn [nm], length [um], bars, pitch [nm], beside [um], factor, measured [nm], {(isPositive ? "cleared" : "stands")}\n");
        foreach (MeasuredSquare square in squares)
        {
            Row(text, "square", Number(square.SideNanometres), "", "", "", "", Number(square.DoseFactor, 6), "", square.Prints == true ? "yes" : "no");
        }

        foreach (MeasuredWidth width in widths)
        {
            Row(
                text, Feature(width), Number(width.DrawnNanometres), Micrometres(width.LengthNanometres),
                width.Bars > 1 ? width.Bars.ToString(CultureInfo.InvariantCulture) : "", Number(width.PitchNanometres), Micrometres(width.BesideNanometres),
                Number(width.DoseFactor, 6), Number(width.WidthNanometres), "");
        }

        return text.ToString();
    }

    /// <summary>Middles of crosses, as 'fit field' takes them.</summary>
    /// <exception cref="CompileException">There are none.</exception>
    public static string Marks(MeasuredPicture measured, string name)
    {
        Require(measured.Crosses.Length, "no cross with edges on all sides", name);
        var text = new StringBuilder("commanded x [um], commanded y [um], measured x [um], measured y [um], standard error x [nm], standard error y [nm]\n");
        foreach (MeasuredCross cross in measured.Crosses)
        {
            Row(
                text, Micrometres(cross.XNanometres), Micrometres(cross.YNanometres), Micrometres(cross.MeasuredX), Micrometres(cross.MeasuredY),
                Number(cross.ErrorX), Number(cross.ErrorY));
        }

        return text.ToString();
    }

    private static void Require(int count, string missing, string name)
    {
        if (count == 0)
        {
            throw new CompileException(MeasureCodes.NotInPicture, $"{missing} was found in this picture, and a table of them was asked for", new SourcePlace(name), "leave the table out, or take a picture that shows them");
        }
    }

    private static string Feature(MeasuredWidth width) => width.IsGap ? "gap" : "bar";

    private static void Row(StringBuilder text, params ReadOnlySpan<string> cells) => text.Append(string.Join(", ", cells)).Append('\n');

    // Hundredths of a nanometre; nothing for what is not known.
    private static string Number(double value, int decimals = 2) =>
        double.IsNaN(value) ? "" : (Math.Round(value, decimals, MidpointRounding.AwayFromZero) + 0.0).ToString("0.######", CultureInfo.InvariantCulture);

    private static string Micrometres(double nanometres) => Number(nanometres / 1000, 5);
}
