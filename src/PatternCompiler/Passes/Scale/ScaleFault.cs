using System.Diagnostics.CodeAnalysis;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Scale;

/// <summary>Words the errors of scaling: what is wrong, by how much, and what would fix it.</summary>
internal static class ScaleFault
{
    /// <summary>A code that the converters do not have, or one that their amplifiers do not follow.</summary>
    [DoesNotReturn]
    public static void ThrowOutOfReach(in Stroke stroke, long x, long y, DacMapping mapping, double codeX, double codeY)
    {
        var all = new CodeRange(0, mapping.Dac.CodeCount - 1);
        if (all.Holds(DacMapping.Nearest(codeX)) && all.Holds(DacMapping.Nearest(codeY)))
        {
            throw NotFollowed(Place(stroke, x, y), x, y, mapping, codeX, codeY);
        }

        ThrowOutOfField(stroke, x, y, mapping, codeX, codeY);
    }

    /// <summary>A place whose codes exist, but beyond those that the machine file calls usable.</summary>
    public static CompileException NotFollowed(SourcePlace place, long x, long y, DacMapping mapping, double codeX, double codeY)
    {
        string[] faults = [.. new[] { Axis("X", mapping.UsableX, codeX), Axis("Y", mapping.UsableY, codeY) }.OfType<string>()];
        return new CompileException(
            ScaleCodes.NotFollowed,
            $"({Micrometres(x)}, {Micrometres(y)}) um lies beyond what the amplifiers follow: {string.Join("; ", faults)}",
            place,
            "move or shrink the drawing, or enlarge the field in the machine file (a lower magnification)");

        static string? Axis(string output, CodeRange usable, double code) => usable.Holds(DacMapping.Nearest(code))
            ? null
            : $"output {output} would need code {DacMapping.Nearest(code)}, it follows from {usable.Lowest} to {usable.Highest} ('usable_{char.ToLowerInvariant(output[0])}')";
    }

    [DoesNotReturn]
    private static void ThrowOutOfField(in Stroke stroke, long x, long y, DacMapping mapping, double codeX, double codeY)
    {
        var faults = new List<string>(2);
        AddAxis(faults, mapping, "X", codeX, mapping.NanometresPerCodeX);
        AddAxis(faults, mapping, "Y", codeY, mapping.NanometresPerCodeY);
        throw new CompileException(
            ScaleCodes.OutOfField,
            $"({Micrometres(x)}, {Micrometres(y)}) um lies outside the field: {string.Join("; ", faults)}",
            Place(stroke, x, y),
            "move or shrink the drawing, or enlarge the field in the machine file");
    }

    [DoesNotReturn]
    public static void ThrowOutsideCalibration(in Stroke stroke, long x, long y) => throw new CompileException(
        ScaleCodes.OutsideCalibration,
        $"({Micrometres(x)}, {Micrometres(y)}) um lies outside the area in which the field was calibrated",
        Place(stroke, x, y),
        "move or shrink the drawing, or measure marks over a larger part of the field");

    [DoesNotReturn]
    public static void ThrowTooShort(in Stroke stroke, double exactTicks, Clock clock, Beam beam)
    {
        double dwell = exactTicks / stroke.Points;
        double factor = clock.MinimumDwellTicks / dwell;
        string fix = double.IsFinite(factor)
            ? $"lower the beam current from {Current(beam.CurrentAmperes)} to at most {Current(ShortDecimal.Down(beam.CurrentAmperes / factor))}"
                + (StepNanometres(stroke) is double step ? $", or raise the point step from {Number(step)} nm to at least {Number(ShortDecimal.Up(step * factor))} nm (or the line pitch by the same factor)" : "")
            : "remove figures without dose";
        throw new CompileException(
            ScaleCodes.DwellTooShort,
            $"each point needs {Ticks(dwell, clock)}, below the controller's shortest dwell of {Ticks(clock.MinimumDwellTicks, clock)}",
            Place(stroke),
            fix);
    }

    /// <summary>
    /// The same before an area has points: its regular ones are too short already. Those along its edges have less, and
    /// would ask for far more than has to be changed.
    /// </summary>
    [DoesNotReturn]
    public static void ThrowRegularTooShort(int figure, double dwellTicks, double shortestTicks, double clockHertz, double currentAmperes)
    {
        double factor = shortestTicks / dwellTicks;
        throw new CompileException(
            ScaleCodes.DwellTooShort,
            $"each point inside the area needs {Ticks(dwellTicks, clockHertz)}, below the controller's shortest dwell of {Ticks(shortestTicks, clockHertz)}",
            SourcePlace.OfFigure(figure),
            $"lower the beam current from {Current(currentAmperes)} to at most {Current(ShortDecimal.Down(currentAmperes / factor))}, or raise line pitch times point step {Number(ShortDecimal.Up(factor))} times or more");
    }

    [DoesNotReturn]
    public static void ThrowTooLong(in Stroke stroke, double exactTicks, Clock clock, Beam beam)
    {
        double dwell = exactTicks / stroke.Points;
        double factor = dwell / clock.MaximumDwellTicks;
        string step = StepNanometres(stroke) is double nanometres ? $", lower the point step from {Number(nanometres)} nm to at most {Number(ShortDecimal.Down(nanometres / factor))} nm" : "";
        throw new CompileException(
            ScaleCodes.DwellTooLong,
            $"each point needs {Ticks(dwell, clock)}, above the controller's longest dwell of {Ticks(clock.MaximumDwellTicks, clock)}",
            Place(stroke),
            $"write in {Number(Math.Ceiling(factor))} passes or more{step}, or raise the beam current from {Current(beam.CurrentAmperes)} to at least {Current(ShortDecimal.Up(beam.CurrentAmperes * factor))}");
    }

    private static void AddAxis(List<string> faults, DacMapping mapping, string output, double code, double nanometresPerCode)
    {
        long nearest = DacMapping.Nearest(code);
        int last = mapping.Dac.CodeCount - 1;
        if (nearest >= 0 && nearest <= last)
        {
            return;
        }

        double beyond = nearest < 0 ? -code : code - last;
        string axis = (output == "X") == mapping.Deflection.SwapAxes ? "y" : "x";
        faults.Add(
            $"by {Number(Round(beyond * Math.Abs(nanometresPerCode) / 1000, 4))} um in {axis} "
            + $"(output {output} would need {Number(Round(mapping.VoltsOf(code), 6))} V, it reaches from {Number(Round(mapping.VoltsOf(0), 6))} V to {Number(Round(mapping.VoltsOf(last), 6))} V)");
    }

    private static SourcePlace Place(in Stroke stroke) => Place(stroke, stroke.XFemtometres, stroke.YFemtometres);

    private static SourcePlace Place(in Stroke stroke, long x, long y) => SourcePlace.OfFigureAt(stroke.Figure, x, y);

    private static double? StepNanometres(in Stroke stroke)
    {
        if (stroke.Points < 2)
        {
            return null;
        }

        double x = stroke.EndXFemtometres - stroke.XFemtometres;
        double y = stroke.EndYFemtometres - stroke.YFemtometres;
        return Round(Math.Sqrt(x * x + y * y) / (stroke.Points - 1) * 1e-6, 4);
    }

    private static string Micrometres(long femtometres) => Number(Round(femtometres * 1e-9, 4));

    private static string Current(double amperes) => QuantityText.Format(amperes, Dimension.Current);

    private static string Ticks(double ticks, Clock clock) => Ticks(ticks, clock.Hertz);

    private static string Ticks(double ticks, double clockHertz) =>
        $"{QuantityText.Format(ticks, Dimension.Ticks)} ({QuantityText.Format(ticks / clockHertz, Dimension.Time)})";

    private static double Round(double value, int digits) => Math.Round(value, digits, MidpointRounding.AwayFromZero);

    private static string Number(double value) => NumberText.Format(value);
}
