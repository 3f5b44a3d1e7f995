using System.CommandLine;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.BlankerCurrent;
using PatternCompiler.Calibration.BlankerDelay;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc fit blanker</c>: delays, edges and leak from mean currents, or delays from ends of lines.</summary>
internal static class FitBlankerCommand
{
    private const double LongestDelayMicroseconds = 1e6;
    private static readonly Unit Microsecond = new("us", Dimension.Time, -6);
    private static readonly Unit NanometrePerMicrosecond = new("nm/us", Dimension.Speed, -3);

    public static PatternCommand Create()
    {
        Option<Quantity?> onDelay = QuantityOption.CreateWithin(
            "--on-delay", "On delay that is known otherwise, for currents that tell the difference of the delays alone.", new(0, Microsecond), new(LongestDelayMicroseconds, Microsecond));
        return FitCommand.Complete(
            new PatternCommand("blanker", "Fit the delays of the beam blanker, its edges and its leak.")
            {
                Details = "From mean currents in a Faraday cup, without a resist: \"on [us], off [us], deflection, current [pA]\", how long the blank line has the beam on and off in a period, and what a slow meter shows; or \"frequency [kHz], duty, current [pA]\". "
                    + "A beam that is 'held' in the cup tells off delay less on delay, leak and current; where the deflection 'leaves' the cup or 'enters' it as the line turns the beam off, each delay is told, against the deflection; short times tell rise and fall. Lines with the beam always on or off (off or on 0) help. "
                    + "'patternc generate blanker-readings' writes records that do so, and the table to fill in.\n"
                    + "From lines written at several speeds, by 'patternc generate blanker-target': speed, length of the tail beyond a line's end, and length missing at its start, \"speed [nm/us], tail [nm], missing [nm]\".",
                Examples =
                [
                    new("patternc fit blanker currents.csv --plot currents.png", "delays, rise and fall, leak and current, and a picture"),
                    new("patternc fit blanker rates.csv --on-delay \"0.3 us\"", "with a cup that the beam never leaves, and an on delay from a scope"),
                    new("patternc fit blanker lines.csv", "off and on delay from ends of lines"),
                ],
                Options = { onDelay },
            },
            CupReadings.WordColumns,
            (table, result, context) => CupReadings.Has(table) ? Currents(table, result.GetValue(onDelay), context.Sink) : Lines(table, result.GetValue(onDelay), context.Sink));
    }

    private static FitCommand.Fitted Currents(MeasurementTable table, Quantity? onDelay, DiagnosticSink sink)
    {
        BlankerCurrentFit fit = BlankerCurrentFitter.Fit(CupReadings.Of(table), sink);
        if (onDelay is not null && fit.Difference is null)
        {
            throw FitCommand.Wrong("--on-delay goes with currents that tell the difference of the delays alone, and these tell the delays", "leave the option out");
        }

        return new FitCommand.Fitted(BlankerCurrentText.Of(fit, onDelay?.In(Microsecond)), () => BlankerCurrentPlot.Compose(fit));
    }

    private static FitCommand.Fitted Lines(MeasurementTable table, Quantity? onDelay, DiagnosticSink sink)
    {
        if (onDelay is not null)
        {
            throw FitCommand.Wrong("--on-delay goes with a table of currents", "leave the option out: ends of lines tell both delays");
        }

        double[] speeds = table.PositiveColumn("speed", NanometrePerMicrosecond);
        double[] tails = table.FilledColumn("tail", Unit.Nanometre);
        double[] heads = table.FilledColumn("missing", Unit.Nanometre);
        BlankerDelayFit fit = BlankerDelayFitter.Fit(speeds, tails, heads, sink);
        return new FitCommand.Fitted(FitText.Of(fit), () => BlankerDelayPlot.Compose(fit, speeds, tails, heads));
    }
}
