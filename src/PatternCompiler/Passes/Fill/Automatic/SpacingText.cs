using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fill.Automatic;

/// <summary>Puts the choice of a spacing, or why there is none, into words.</summary>
internal static class SpacingText
{
    private const int Digits = 3;

    /// <summary>Some layers by name.</summary>
    public static string Layers(string[] names) => names.Length == 1
        ? $"layer {names[0]}"
        : $"layers {string.Join(", ", names[..^1])} and {names[^1]}";

    /// <summary>What was chosen, what ruled, and what the neighbours would mean.</summary>
    public static string Describe(SpacingChoice choice, SpacingLimits limits)
    {
        SpacingEffect chosen = choice.Chosen;
        string text = $"line pitch {Name(chosen.LinePitch, chosen.LinePitchNanometres)}, point step {Name(chosen.PointStep, chosen.PointStepNanometres)}"
            + $": {Dwell(chosen)}, ripple {Percent(RippleOf(chosen))}; {Ruling(choice)}";
        if (choice.Finer is SpacingEffect finer)
        {
            text += $"; one code finer would mean {Reason(finer, limits, choice.HasReserve)}";
        }

        SpacingEffect coarser = choice.Coarser;
        return text + (coarser.Breaks == SpacingRule.None
            ? $"; one code coarser, {Dwell(coarser)}, ripple {Percent(RippleOf(coarser))}"
            : $"; one code coarser would mean {Reason(coarser, limits, choice.HasReserve)}");
    }

    /// <summary>Why no spacing meets all limits.</summary>
    /// <param name="layer">The layer.</param>
    /// <param name="widest">The pair that comes nearest.</param>
    /// <param name="trial">Tells by how much it fails.</param>
    /// <param name="limits">The limits.</param>
    public static CompileException Fault(string layer, SpacingEffect widest, SpacingTrial trial, SpacingLimits limits)
    {
        bool isLines = widest.Breaks is SpacingRule.DeflectionSpeed or SpacingRule.DeflectionLag && trial.SingleLinesAreTooFast;
        string spacing = $"line pitch {Name(widest.LinePitch, widest.LinePitchNanometres)} and point step {Name(widest.PointStep, widest.PointStepNanometres)}";
        string problem = widest.Breaks is SpacingRule.Evenness or SpacingRule.LongestDwell
            ? $"no spacing meets all limits on layer {layer}: {spacing}, the finest for clock, deflection and link, would mean {Reason(widest, limits, hasReserve: false)}"
            : isLines
            ? $"no spacing meets all limits on layer {layer}: whatever the point step, single lines would mean {Reason(widest, limits, hasReserve: false)}"
            : $"no spacing meets all limits on layer {layer}: even {spacing}, the widest with an even dose, would mean {Reason(widest, limits, hasReserve: false)}";
        string lower = $"lower the beam current to {Current(limits.LargestCurrentAmperes / trial.ExcessCurrent(widest))} or less";
        string fix = widest.Breaks switch
        {
            SpacingRule.ShortestDwell or SpacingRule.ClockTick => $"{lower}, or use a controller with a shorter dwell",
            SpacingRule.DeflectionSpeed => $"{lower}, or correct 'settle.slew' in the machine file",
            SpacingRule.DeflectionLag => $"{lower}, or let lines run ahead with 'settle: {{cancel_lag: yes}}' in the machine file",
            SpacingRule.Link => $"{lower}, or use a faster link",
            SpacingRule.LongestDwell => "raise the beam current, or divide the dose with 'fill: {passes: 2}'",
            _ => "use a smaller field (higher magnification), a DAC with more bits or a larger spot, or accept it by giving the spacing as '1 code'",
        };
        return new CompileException(FillCodes.NoSpacing, problem, fix: fix);
    }

    private static string Ruling(SpacingChoice choice) => (choice.PitchRule, choice.StepRule) switch
    {
        (SpacingRule.None, SpacingRule step) => $"the step is ruled by {Name(step)}",
        (SpacingRule pitch, SpacingRule.None) => $"the pitch is ruled by {Name(pitch)}",
        (SpacingRule pitch, SpacingRule step) when pitch == step => $"both are ruled by {Name(pitch)}",
        (SpacingRule pitch, SpacingRule step) => $"the pitch is ruled by {Name(pitch)}, the step by {Name(step)}",
    };

    private static string Name(SpacingRule rule) => rule switch
    {
        SpacingRule.OneCode => "the converter",
        SpacingRule.Spot => "the spot",
        SpacingRule.ShortestDwell => "the shortest dwell",
        SpacingRule.ClockTick => "the clock",
        SpacingRule.DeflectionSpeed => "the deflection's speed",
        SpacingRule.DeflectionLag => "the deflection's lag",
        SpacingRule.Link => "the link",
        _ => "the evenness of the dose",
    };

    private static string Reason(SpacingEffect effect, SpacingLimits limits, bool hasReserve) => effect.Breaks switch
    {
        SpacingRule.ShortestDwell => $"points of {Time(effect.ShortestDwellSeconds)}, less than {(hasReserve ? $"{NumberText.Format(SpacingTrial.Reserve)} times " : "")}the controller's shortest dwell of {Time(limits.ShortestDwellTicks / limits.ClockHertz)}{(hasReserve ? ", which leaves room to weight edges" : "")}",
        SpacingRule.ClockTick => $"points of {QuantityText.Format(effect.ShortestDwellSeconds * limits.ClockHertz, Dimension.Fraction, Digits)} clock ticks, fewer than {SpacingTrial.FewestTicks}",
        SpacingRule.DeflectionSpeed => $"a beam of {Speed(effect.NanometresPerSecond)} along the lines, faster than the deflection's {Speed(limits.FastestNanometresPerSecond)}",
        SpacingRule.DeflectionLag => $"a beam that lags {Length(effect.LagNanometres)} behind, more than half the spot of {Length(limits.SpotNanometres)}",
        SpacingRule.Link => $"{Rate(effect.LinkBytesPerSecond)} on the link, more than four fifths of its {Rate(limits.LinkBytesPerSecond)}",
        SpacingRule.LongestDwell => $"points of {Time(effect.LongestDwellSeconds)}, above the controller's longest dwell of {Time(limits.LongestDwellTicks / limits.ClockHertz)}",
        SpacingRule.Evenness => $"a ripple of {Percent(RippleOf(effect))}, more than {Percent(EvenLines.LargestRipple)}",
        _ => $"more points, but no finer dose than the spot of {Length(limits.SpotNanometres)} gives",
    };

    private static double RippleOf(SpacingEffect effect) => Math.Max(effect.RippleAcross, effect.RippleAlong);

    private static string Name(Spacing spacing, double nanometres) => spacing.IsInCodes
        ? $"{spacing.Codes} {(spacing.Codes == 1 ? "code" : "codes")} ({Length(nanometres)})"
        : Length(nanometres);

    private static string Dwell(SpacingEffect effect) => $"points of {Time(effect.ShortestDwellSeconds)}";

    private static string Time(double seconds) => QuantityText.Format(seconds, Dimension.Time, Digits);

    private static string Length(double nanometres) => QuantityText.Format(nanometres * 1e-9, Dimension.Length, Digits);

    private static string Rate(double bytesPerSecond) => QuantityText.Format(bytesPerSecond, Dimension.DataRate, Digits);

    /// <summary>Rounded down: the current that is named must do.</summary>
    private static string Current(double amperes)
    {
        double unit = Math.Pow(10, Math.Floor(Math.Log10(amperes)) - 1);
        return QuantityText.Format(Math.Floor(amperes / unit) * unit, Dimension.Current, Digits);
    }

    private static string Speed(double nanometresPerSecond) => QuantityText.Format(nanometresPerSecond * 1e-9, Dimension.Speed, Digits);

    private static string Percent(double part) => part is > 0 and < 1e-6 ? "0%" : $"{QuantityText.Format(part * 100, Dimension.Fraction, 2)}%";
}
