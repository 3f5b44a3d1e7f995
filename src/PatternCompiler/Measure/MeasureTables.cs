using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry.Curves;

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

    /// <summary>Where the picture shows the middles of crosses, from its own middle, as a view that 'fit field' takes.</summary>
    /// <param name="measured">What was measured.</param>
    /// <param name="turnedDegrees">By how much the drawing was turned for it.</param>
    /// <param name="name">The picture, whose name without folder and ending is that of the view.</param>
    /// <exception cref="CompileException">There are none.</exception>
    public static string Seen(MeasuredPicture measured, double turnedDegrees, string name)
    {
        Require(measured.Crosses.Length, "no cross with edges on all sides", name);
        (double sin, double cos) = Trigonometry.SinCosDegrees(-turnedDegrees);
        string view = Path.GetFileNameWithoutExtension(name).Replace(',', ' ').Trim();
        var text = new StringBuilder("view, drawn x [um], drawn y [um], seen x [um], seen y [um], standard error x [nm], standard error y [nm]\n");
        foreach (MeasuredCross cross in measured.Crosses)
        {
            (double u, double v) = measured.Map.ToPicture(cross.MeasuredX, cross.MeasuredY);
            Row(
                text, view, Micrometres(cos * cross.XNanometres - sin * cross.YNanometres), Micrometres(sin * cross.XNanometres + cos * cross.YNanometres),
                Micrometres(u * measured.StatedPixelNanometres), Micrometres(v * measured.StatedPixelNanometres), Number(cross.ErrorX), Number(cross.ErrorY));
        }

        return text.ToString();
    }

    /// <summary>How far single lines run on at their ends and what is missing at their starts, as 'fit blanker' takes them.</summary>
    /// <param name="measured">What was measured.</param>
    /// <param name="timing">How they were written.</param>
    /// <param name="name">The picture, for messages.</param>
    /// <exception cref="CompileException">There are none, or the beam did not wait at their ends.</exception>
    public static string Tails(MeasuredPicture measured, ExposureTiming timing, string name)
    {
        Require(measured.Lines.Length, "no single line with both ends", name);
        if (!(timing.OffDelayMicroseconds > 0))
        {
            throw new CompileException(
                MeasureCodes.NoTails,
                "these lines were written by a machine file without off_delay: the deflection has left each line before the beam is off, and what is left of the beam lands where the next line begins",
                new SourcePlace(name),
                "write the target with an off_delay that is longer than the blanker takes, and name that machine file with --machine");
        }

        var text = new StringBuilder("speed [nm/us], tail [nm], missing [nm], standard error [nm], times, width [nm], x [um], y [um]\n");
        foreach (MeasuredLine line in measured.Lines)
        {
            // What the machine file has compensated is not seen.
            double speed = timing.SpeedNanometresPerMicrosecond(line.Layer, line.DoseFactor);
            Row(
                text, Number(speed, 6), Number(line.BeyondEndNanometres + speed * timing.OffDelayMicroseconds), Number(speed * timing.OnDelayMicroseconds - line.BeforeStartNanometres),
                Number(line.StandardErrorNanometres), line.Times.ToString(CultureInfo.InvariantCulture), Number(line.WidthNanometres), Micrometres(line.StartX), Micrometres(line.StartY));
        }

        return text.ToString();
    }

    /// <summary>How far upright single lines lie off along x, and level ones along y, as 'fit converter' takes them.</summary>
    /// <exception cref="CompileException">There are none.</exception>
    public static string Offsets(MeasuredPicture measured, string name)
    {
        (MeasuredLine Line, bool IsUpright)[] lines =
            [.. measured.Lines.Where(line => line.StartX == line.EndX || line.StartY == line.EndY).Select(line => (line, line.StartX == line.EndX))];
        Require(lines.Length, "no single upright or level line with both ends", name);
        var text = new StringBuilder("axis, place [um], offset [nm], standard error [nm], x [um], y [um]\n");
        foreach ((MeasuredLine line, bool isUpright) in lines)
        {
            // To the right of a line that goes up is larger x, of one that goes right smaller y.
            double offset = line.RightNanometres * (isUpright ? Math.Sign(line.EndY - line.StartY) : -Math.Sign(line.EndX - line.StartX));
            Row(
                text, isUpright ? "x" : "y", Micrometres(isUpright ? line.StartX : line.StartY), Number(offset), Number(line.RightErrorNanometres),
                Micrometres((line.StartX + line.EndX) / 2), Micrometres((line.StartY + line.EndY) / 2));
        }

        return text.ToString();
    }

    /// <summary>How far dots that were visited after a jump have stayed behind, as 'fit settling' takes them.</summary>
    /// <param name="measured">What was measured.</param>
    /// <param name="timing">How they were written.</param>
    /// <param name="name">The picture, for messages.</param>
    /// <exception cref="CompileException">There are none, or none beside it that was visited without a jump.</exception>
    public static string Settling(MeasuredPicture measured, ExposureTiming timing, string name)
    {
        if (FromBothSides(measured) is { Length: > 0 } pairs)
        {
            return SettlingOfPairs(pairs, timing);
        }

        MeasuredDot[] references = [.. measured.Dots.Where(dot => dot.JumpX == 0 && dot.JumpY == 0)];
        MeasuredDot[] jumped = [.. measured.Dots.Where(dot => dot.JumpX != 0 || dot.JumpY != 0).Where(dot => !double.IsNaN(dot.JumpX))];
        Require(Math.Min(references.Length, jumped.Length), "no dot that was visited after a jump, with one beside it that was visited without", name);
        var text = new StringBuilder("jump [um], wait [us], displacement [nm], standard error [nm], x [um], y [um]\n");
        foreach (MeasuredDot dot in jumped)
        {
            MeasuredDot reference = references.MinBy(other => Square(other.XNanometres - dot.XNanometres) + Square(other.YNanometres - dot.YNanometres))!;
            double jump = Math.Sqrt(Square(dot.JumpX) + Square(dot.JumpY));
            (double alongX, double alongY) = (dot.JumpX / jump, dot.JumpY / jump);
            double behind = alongX * (reference.MeasuredX - reference.XNanometres - dot.MeasuredX + dot.XNanometres)
                + alongY * (reference.MeasuredY - reference.YNanometres - dot.MeasuredY + dot.YNanometres);
            double error = Math.Sqrt(Square(alongX * dot.ErrorX) + Square(alongY * dot.ErrorY) + Square(alongX * reference.ErrorX) + Square(alongY * reference.ErrorY));
            Row(
                text, Micrometres(jump), Number(timing.WaitMicroseconds(dot.JumpX, dot.JumpY), 6), Number(behind), Number(error),
                Micrometres(dot.XNanometres), Micrometres(dot.YNanometres));
        }

        return text.ToString();
    }

    // Dots that are nearest to one that is approached along the same axis from the other side.
    private static (MeasuredDot Dot, MeasuredDot Other)[] FromBothSides(MeasuredPicture measured)
    {
        MeasuredDot[] jumped = [.. measured.Dots.Where(dot => dot.JumpX == 0 != (dot.JumpY == 0) && !double.IsNaN(dot.JumpX + dot.JumpY))];
        MeasuredDot[] dots = [.. measured.Dots];
        return
        [
            .. jumped.Where(dot => dot.JumpX + dot.JumpY > 0)
                .Select(dot => (dot, dots.Where(other => other != dot).MinBy(other => Square(other.XNanometres - dot.XNanometres) + Square(other.YNanometres - dot.YNanometres))))
                .Where(pair => pair.Item2 is { } other && jumped.Contains(other) && other.JumpX + other.JumpY < 0 && (other.JumpX == 0) == (pair.dot.JumpX == 0))
                .Select(pair => (pair.dot, pair.Item2!)),
        ];
    }

    private static string SettlingOfPairs((MeasuredDot Dot, MeasuredDot Other)[] pairs, ExposureTiming timing)
    {
        var text = new StringBuilder("axis, sides, visits, jump [um], wait [us], displacement [nm], standard error [nm], x [um], y [um]\n");
        foreach ((MeasuredDot dot, MeasuredDot other) in pairs)
        {
            bool isX = dot.JumpX != 0;
            double apart = isX
                ? other.MeasuredX - other.XNanometres - dot.MeasuredX + dot.XNanometres
                : other.MeasuredY - other.YNanometres - dot.MeasuredY + dot.YNanometres;
            double error = isX ? Math.Sqrt(Square(dot.ErrorX) + Square(other.ErrorX)) : Math.Sqrt(Square(dot.ErrorY) + Square(other.ErrorY));
            Row(
                text, isX ? "x" : "y", "2", dot.Visits.ToString(CultureInfo.InvariantCulture), Micrometres(dot.JumpX + dot.JumpY - other.JumpX - other.JumpY), Number(timing.WaitMicroseconds(dot.JumpX, dot.JumpY), 6),
                Number(apart), Number(error), Micrometres(dot.XNanometres), Micrometres(dot.YNanometres));
        }

        return text.ToString();
    }

    /// <summary>By how much combs on the two sides of a border are off against each other.</summary>
    /// <exception cref="CompileException">There are none.</exception>
    public static string Verniers(MeasuredPicture measured, string name)
    {
        Require(measured.Verniers.Length, "no two combs of different pitch that face each other", name);
        var text = new StringBuilder("x [um], y [um], offset x [nm], offset y [nm], standard error x [nm], standard error y [nm], step [nm], reading, teeth\n");
        foreach (MeasuredVernier vernier in measured.Verniers)
        {
            Row(
                text, Micrometres(vernier.XNanometres), Micrometres(vernier.YNanometres), Number(vernier.OffsetX), Number(vernier.OffsetY),
                Number(vernier.ErrorX), Number(vernier.ErrorY), Number(vernier.StepNanometres), Number(vernier.Reading), vernier.Teeth.ToString(CultureInfo.InvariantCulture));
        }

        return text.ToString();
    }

    private static double Square(double value) => value * value;

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
