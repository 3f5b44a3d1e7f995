using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Prediction.Stray;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>What in an estimate a careful operator would stop at.</summary>
internal static class EstimateWarnings
{
    // Limits are common practice of the trade, no source.
    private const double WidestStepInSpots = 0.5;
    private const double LargestRipple = 0.02;
    private const double FullLink = 0.8;
    private const long FewestTicks = 10;
    private const double LargestShotNoise = 0.05;
    private const double LargestLeak = 0.01;
    private const double LongWriteSeconds = 3600;

    public static IEnumerable<Diagnostic> Of(ExposureEstimate e)
    {
        if (e.Points == 0)
        {
            yield return Warning(
                PredictionCodes.NothingExposed, "no record exposes anything", "check layers and dose factors of the drawing");
            yield break;
        }

        double step = Math.Max(e.StepXNanometres, e.StepYNanometres);
        if (step > WidestStepInSpots * e.SpotNanometres)
        {
            yield return Warning(
                PredictionCodes.CoarseCodes,
                $"one code is {Nanometres(step)} on the sample, {Percent(step / e.SpotNanometres)} of the spot of {Nanometres(e.SpotNanometres)}: edges will show steps",
                "use a smaller field (higher magnification), a DAC with more bits, or a larger spot");
        }

        foreach (Diagnostic warning in OfSpacing(e).Concat(OfDwell(e)).Concat(OfLink(e)).Concat(OfTime(e)))
        {
            yield return warning;
        }

        if (e.Triggers is { LeakPart: > LargestLeak } waits)
        {
            yield return Warning(
                PredictionCodes.LeakWhileWaiting,
                $"while a trigger is waited for, the closed beam leaves up to {Percent(waits.LeakPart)} of the dose of the least exposed figure where it waits",
                "mend the blanker's leak, or wait more seldom, for example at each pass");
        }

        if (e.Strays is { } strays && StrayText.WarningOf(strays) is { } stray)
        {
            yield return stray;
        }

        if (e.Strays is { } leaking && StrayText.FogOf(leaking) is { } fog)
        {
            yield return fog;
        }
    }

    private static IEnumerable<Diagnostic> OfSpacing(ExposureEstimate e)
    {
        double widest = EvenLines.WidestPitch(e.BlurNanometres / SpreadFunction.HalfMaximumWidthPerDeviation, LargestRipple);
        foreach ((string axis, SpacingEstimate spacing) in new[] { ("x", e.SpacingX), ("y", e.SpacingY) })
        {
            if (spacing.Ripple > LargestRipple)
            {
                yield return Warning(
                    PredictionCodes.DoseRipple,
                    $"the dose ripples by ±{Percent(spacing.Ripple)} along {axis} at a spacing of {Nanometres(spacing.RipplePitchNanometres)} with a beam {Nanometres(e.BlurNanometres)} wide in the resist",
                    spacing.RipplePitchNanometres > widest
                        ? $"space lines and points closer, at most {Nanometres(widest)}, or defocus a little"
                        : "give line pitch and point step in whole DAC codes, so that rounding leaves them even");
            }
        }
    }

    private static IEnumerable<Diagnostic> OfDwell(ExposureEstimate e)
    {
        // The mean, not the shortest: thin rests of figures are written at the shortest dwell on purpose.
        double mean = e.Points > 0 ? e.ExposingSeconds * e.ClockHertz / e.Points : double.PositiveInfinity;
        if (mean < 2 * e.MinimumDwellTicks && e.MinimumDwellTicks > 1)
        {
            yield return Warning(
                PredictionCodes.DwellNearMinimum,
                $"the mean dwell is {QuantityText.Format(mean, Dimension.Ticks, 3)}, near the controller's minimum of {e.MinimumDwellTicks}",
                "use a larger point step, or less beam current");
        }
        else if (mean < FewestTicks)
        {
            yield return Warning(
                PredictionCodes.CoarseDwell,
                $"the mean dwell is {Ticks(mean)} clock ticks, so that a point's dose is up to {Percent(0.5 / mean)} off",
                "use a larger point step, less beam current or a faster clock");
        }

        if (e.ShotNoise > LargestShotNoise)
        {
            string figure = e.FewestElectronsFigure >= 0 ? $"figure {e.FewestElectronsFigure}" : "the least exposed figure";
            yield return Warning(
                PredictionCodes.ShotNoise,
                $"{figure} gets {QuantityText.Format(e.FewestElectrons, Dimension.Fraction, 3)} electrons: its dose scatters by {Percent(e.ShotNoise)} (one standard deviation)",
                "use a less sensitive resist or larger features") with
            {
                Place = new()
                {
                    Item = new(ItemKind.Figure, e.FewestElectronsFigure)
                    {
                        Field = e.FewestElectronsField,
                        XNanometres = e.FewestElectronsAt.X,
                        YNanometres = e.FewestElectronsAt.Y,
                    },
                },
            };
        }
    }

    private static string Ticks(double ticks) => QuantityText.Format(ticks, Dimension.Fraction, 3);

    private static IEnumerable<Diagnostic> OfLink(ExposureEstimate e)
    {
        LinkEstimate link = e.Link;
        string given = QuantityText.Format(link.GivenBytesPerSecond, Dimension.DataRate, 3);
        if ((link.FirstStallAmidExposure ?? link.FirstStall) is { } stall)
        {
            string amid = link.StallsAmidExposure == 0 ? ", never with the beam on"
                : $", {(link.StallsAmidExposure == link.Stalls ? "each time" : CountText.Times(link.StallsAmidExposure))} with the beam on, which goes off within a figure";
            string when = link.StallsAmidExposure is > 0 and long inside && inside < link.Stalls ? "for the first time so" : "first";
            yield return Warning(
                PredictionCodes.LinkTooSlow,
                $"the link of {given} leaves the controller without records {CountText.Times(link.Stalls)}{amid}; {when} after {QuantityText.Format(stall.Seconds, Dimension.Time, 3)} at record {stall.Record} near ({Micrometres(stall.XNanometres)}, {Micrometres(stall.YNanometres)}) um; {QuantityText.Format(link.StallSeconds, Dimension.Time, 3)} lost",
                Remedy(e)) with
            {
                Place = new()
                {
                    Item = new(stall.Figure >= 0 ? ItemKind.Figure : ItemKind.Record, stall.Figure >= 0 ? stall.Figure : stall.Record)
                    {
                        Field = stall.Field,
                        XNanometres = stall.XNanometres,
                        YNanometres = stall.YNanometres,
                    },
                },
            };
        }
        else if (link.BusiestBytesPerSecond > FullLink * link.GivenBytesPerSecond)
        {
            yield return Warning(
                PredictionCodes.LinkNearLimit,
                $"the busiest part needs {QuantityText.Format(link.BusiestBytesPerSecond, Dimension.DataRate, 3)} of the link's {given}",
                "leave a margin: a busy computer or a hub takes some of it");
        }
    }

    /// <summary>What helps, as far as it was tried; with no stall amid exposure it is only time that is to be won.</summary>
    private static string Remedy(ExposureEstimate e)
    {
        LinkEstimate link = e.Link;
        if (link.StallsAmidExposure == 0)
        {
            return e.InterpolatesLines
                ? "doses are right; for the time, use a faster link or a larger buffer"
                : "doses are right; for the time, use a controller that interpolates lines, a faster link or a larger buffer";
        }

        string[] enough =
        [
            .. link.NeededBlocks is long blocks ? [$"a buffer of {CountText.Of(blocks, "block", "blocks")} ({QuantityText.Format(link.NeededBufferBytes ?? 0, Dimension.DataSize, 3)})"] : Array.Empty<string>(),
            .. link.NeededBytesPerSecond is double rate ? [$"a link of {QuantityText.Format(rate, Dimension.DataRate, 3)}"] : Array.Empty<string>(),
        ];
        if (enough.Length == 0 && link.NeededTogether is (double faster, long more))
        {
            enough = [$"a link of {QuantityText.Format(faster, Dimension.DataRate, 3)} with a buffer of {more} blocks ({QuantityText.Format(more * StreamFormat.LargestBlock, Dimension.DataSize, 3)})"];
        }

        return enough.Length > 0
            ? $"{string.Join(" or ", enough)} keeps the beam on"
            : e.InterpolatesLines
                ? "neither larger buffers nor links up to 16 times as fast are enough: use longer dwells (less beam current or a larger step)"
                : "neither larger buffers nor links up to 16 times as fast are enough: use a controller that interpolates lines, or longer dwells (less beam current or a larger step)";
    }

    private static IEnumerable<Diagnostic> OfTime(ExposureEstimate e)
    {
        if (e.SettlingSeconds > e.ExposingSeconds)
        {
            yield return Warning(
                PredictionCodes.SettlingDominates,
                $"jumps and settling take {QuantityText.Format(e.SettlingSeconds, Dimension.Time, 3)}, more than exposing ({QuantityText.Format(e.ExposingSeconds, Dimension.Time, 3)})",
                "order the figures for short jumps, or measure the settling time and enter a shorter one");
        }

        if (e.TotalSeconds > LongWriteSeconds)
        {
            yield return Warning(
                PredictionCodes.LongWrite,
                $"the write takes {QuantityText.Format(e.TotalSeconds, Dimension.Time, 3)}: beam current and stage drift meanwhile",
                "use more beam current, or split the job");
        }
    }

    private static Diagnostic Warning(DiagnosticCode code, string message, string fix) =>
        new(code, Severity.Warning, message, default, fix);

    private static string Nanometres(double value) => QuantityText.Format(value * 1e-9, Dimension.Length, 3);

    private static string Micrometres(double nanometres) => QuantityText.Format(nanometres * 1e-3, Dimension.Fraction, 4);

    private static string Percent(double part) => $"{QuantityText.Format(part * 100, Dimension.Fraction, 2)}%";
}
