using System.CommandLine;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Calibration.Settling;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Diagnostics;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc fit settling</c>: dots after jumps to the response, the waits and the hysteresis of the deflection.</summary>
internal static class FitSettlingCommand
{
    private const double DefaultLeftNanometres = 10;

    public static PatternCommand Create()
    {
        Option<Quantity?> left = QuantityOption.CreatePositive("--left", "What may be left of a jump at the end of its wait; 10 nm if absent, half a code where a response is printed.", Dimension.Length);
        return FitCommand.Complete(
            new PatternCommand("settling", "Fit how the deflection settles after a jump.")
            {
                Details = "Columns: length of the jump, wait after it, how far the dot that follows lies from where it should, such as \"jump [um], wait [us], displacement [nm]\". 'patternc generate settling-target' draws the test; write it with several waits. "
                    + "Further columns, where they apply: 'axis' (x or y, along which the beam jumped), 'visit [us]' (how long it stays at a dot), 'visits' (how often it comes there and goes back: slow parts then still have something of the visits before), 'sides' (2 for the distance of two dots that are approached from opposite sides by jumps that are 'jump' long together: the hysteresis is in it). "
                    + "One time constant is printed, or where the dots tell two, or any of these columns is there, the response of each axis as a sum of exponentials, and the hysteresis with a length to approach from.",
                Examples =
                [
                    new("patternc fit settling bars.csv", "time constant and waits to paste into the machine file"),
                    new("patternc fit settling bars.csv --left \"5 nm\" --plot settling.png", "waits that leave no more than 5 nm, and a picture"),
                ],
                Options = { left },
            },
            SettlingReading.WordColumns,
            (table, result, context) => Fit(table, result.GetValue(left)?.In(Unit.Nanometre), context.Sink));
    }

    private static FitCommand.Fitted Fit(MeasurementTable table, double? left, DiagnosticSink sink)
    {
        IReadOnlyList<SettlingReading> readings = SettlingReading.Of(table);
        double[] jumps = [.. readings.Select(reading => reading.Jump)];
        double[] waits = [.. readings.Select(reading => reading.Wait)];
        double[] displacements = [.. readings.Select(reading => reading.Displacement)];
        if (!readings.Any(reading => reading.IsDetailed))
        {
            SettlingFit one = SettlingFitter.Fit(jumps, waits, displacements, sink);
            if (!ResponseFitter.NeedsTwo(readings, one))
            {
                return new(FitText.Of(one, jumps, left ?? DefaultLeftNanometres), () => SettlingPlot.Compose(one, jumps, waits, displacements));
            }
        }

        IReadOnlyList<ResponseFit> fits = ResponseFitter.FitAxes(readings, sink);
        return new(ResponseText.Of(fits, jumps, left), () => ResponsePlot.Compose(fits, readings));
    }
}
