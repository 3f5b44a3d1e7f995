using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Calibration.BlankerCurrent;

/// <summary>
/// Draws what each period gains or loses: charge over current, less the time that the line has the beam on in the cup, over the shorter of
/// the times on and off. With the beam held in the cup slow periods gain the difference of the delays; where it leaves they lose
/// the on delay, and where it enters they gain the off delay.
/// </summary>
internal static class BlankerCurrentPlot
{
    /// <summary>Composes the plot of a fit.</summary>
    public static Plot Compose(BlankerCurrentFit fit)
    {
        (CupReading Reading, double Picoamperes)[] switched = [.. fit.Readings.Where(point => !point.Reading.IsSteady)];
        PlotSeries[] series =
        [
            .. CupReadings.Deflections.Entries.Index().SelectMany(entry =>
            {
                (CupReading Reading, double Picoamperes)[] kind = [.. switched.Where(point => point.Reading.Deflection == entry.Item.Value)];
                return kind.Length == 0 ? [] : (PlotSeries[])
                [
                    // A line for each of the three ways to shorten the times: on, off, or both.
                    .. kind.GroupBy(point => point.Reading.OnMicroseconds.CompareTo(point.Reading.OffMicroseconds)).Select((way, i) => new PlotSeries(
                        i == 0 ? "fit" : "", PlotMark.Line, entry.Index, [.. way.OrderBy(point => Shorter(point.Reading)).Select(point => (Shorter(point.Reading), Gain(point.Reading, point.Picoamperes)))])),
                    new(entry.Item.Word, PlotMark.Dots, entry.Index, [.. kind.Select(point => (Shorter(point.Reading), Gain(point.Reading, point.Reading.Picoamperes)))]),
                ];
            }),
        ];
        string[] facts =
        [
            .. new (string Name, FitParameter? Value, string Unit)[]
            {
                ("off", fit.OffDelay, "µs"), ("on", fit.OnDelay, "µs"), ("off less on", fit.Difference, "µs"), ("rise", fit.Rise, "µs"), ("fall", fit.Fall, "µs"), ("leak", fit.Leak, "%"),
            }.Where(fact => fact.Value is not null).Select(fact => PlotFact.Of(fact.Name, fact.Value!, fact.Unit)),
        ];
        return new Plot(
            "blanker by mean currents",
            FactText.Join(facts),
            PlotAxis.Around("shorter of the times on and off (µs)", switched.Select(point => Shorter(point.Reading)), isLogarithmic: true),
            PlotAxis.Around("gained in a period (µs)", series.SelectMany(one => one.Points.Select(point => point.Y))),
            [.. series]);

        double Gain(in CupReading reading, double picoamperes)
        {
            double leak = (fit.Leak?.Value ?? 0) / 100;
            double lit = reading.Deflection == CupDeflection.Enters ? 0 : reading.OnMicroseconds;
            double inCup = reading.Deflection switch
            {
                CupDeflection.Leaves => reading.OnMicroseconds,
                CupDeflection.Enters => reading.OffMicroseconds,
                _ => reading.PeriodMicroseconds,
            };
            double passed = picoamperes / fit.Current.Value * reading.PeriodMicroseconds;
            return leak < 1 ? (passed - leak * inCup) / (1 - leak) - lit : passed - lit;
        }
    }

    private static double Shorter(in CupReading reading) => Math.Min(reading.OnMicroseconds, reading.OffMicroseconds);
}
