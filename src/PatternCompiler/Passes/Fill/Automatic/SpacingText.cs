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

    /// <summary>Why no spacing meets all limits on a layer, and what would change that.</summary>
    /// <param name="nearest">The pair that comes nearest.</param>
    /// <param name="limits">The limits.</param>
    /// <param name="remedy">Finds what helps.</param>
    public static CompileException Fault(SpacingOutcome nearest, SpacingLimits limits, SpacingRemedy remedy)
    {
        (string layer, SpacingEffect effect) = (nearest.Case.Layer, nearest.Effect);
        bool isLines = effect.Breaks is SpacingRule.DeflectionSpeed or SpacingRule.DeflectionLag && nearest.Trial.SingleLinesAreTooFast;
        string spacing = $"line pitch {Name(effect.LinePitch, effect.LinePitchNanometres)} and point step {Name(effect.PointStep, effect.PointStepNanometres)}";
        string reason = Reason(effect, limits, hasReserve: false);
        string problem = effect.Breaks is SpacingRule.Evenness or SpacingRule.LongestDwell ? $"{spacing}, the finest for clock, deflection and link, would mean {reason}"
            : isLines ? $"whatever the point step, single lines would mean {reason}"
            : $"even {spacing}, the widest with an even dose, would mean {reason}";
        return new CompileException(FillCodes.NoSpacing, $"no spacing meets all limits on layer {layer}: {problem}", fix: FixOf(nearest, remedy));
    }

    /// <summary>What lets a layer be written whose points are too short with the spacings that are given; null where nothing is known to.</summary>
    /// <param name="layer">The layer.</param>
    /// <param name="amperes">The beam current.</param>
    /// <param name="remedy">Finds what helps.</param>
    public static string? FixOfShortDwell(string layer, double amperes, SpacingRemedy remedy)
    {
        string? asGiven = remedy.CurrentForGiven() is double lower ? Current(lower) : null;
        return remedy.OpenSpacing(layer) is SpacingEffect open
            ? $"let line pitch and point step be 'automatic', which takes {Names(open)} on layer {layer}"
                + (asGiven is null ? "" : $", or lower the beam current from {QuantityText.Format(amperes, Dimension.Current)} to {asGiven}")
            : remedy.LowerCurrent(keepsGiven: false) is double less
            ? $"lower the beam current from {QuantityText.Format(amperes, Dimension.Current)} to {Current(less)} and let line pitch and point step be 'automatic'"
                + (asGiven is null ? "" : $", or to {asGiven} with those that are given")
            : null;
    }

    private static string FixOf(SpacingOutcome nearest, SpacingRemedy remedy)
    {
        if (nearest.Case != nearest.Case.Open && remedy.OpenSpacing(nearest.Case.Layer) is SpacingEffect both)
        {
            return $"let line pitch and point step both be 'automatic', which takes {Names(both)} here";
        }

        switch (nearest.Effect.Breaks)
        {
            case SpacingRule.LongestDwell:
                return $"{(remedy.HigherCurrent(keepsGiven: true) is double higher ? $"raise the beam current to {Current(higher)}, or " : "")}divide the dose with 'fill: {{passes: 2}}'";
            case SpacingRule.Evenness:
                string field = remedy.SmallerField() is double part ? $"at most {NumberText.Format(part)} times as wide" : "smaller";
                string spot = remedy.LargerSpot() is double larger ? $"a spot of {Length(larger)} or more" : "a larger spot";
                return $"use a field that is {field} (higher magnification), a DAC with more bits or {spot}, or accept it by giving the spacing as '1 code'";
            default:
                string lower = remedy.LowerCurrent(keepsGiven: true) is double current ? $"lower the beam current to {Current(current)} or less, or " : "";
                return lower + nearest.Effect.Breaks switch
                {
                    SpacingRule.DeflectionSpeed => "correct 'settle.slew' in the machine file",
                    SpacingRule.DeflectionLag => "let lines run ahead with 'settle: {cancel_lag: yes}' in the machine file",
                    SpacingRule.Link => "use a faster link",
                    _ => "use a controller with a shorter dwell",
                };
        }
    }

    private static string Ruling(SpacingChoice choice) => (choice.PitchRule, choice.StepRule) switch
    {
        (SpacingRule.None, SpacingRule step) => $"the step is ruled by {Name(step)}",
        (SpacingRule pitch, SpacingRule.None) => $"the pitch is ruled by {Name(pitch)}",
        (SpacingRule pitch, SpacingRule step) when pitch == step => $"both are ruled by {Name(pitch)}",
        (SpacingRule pitch, SpacingRule step) => $"the pitch is ruled by {Name(pitch)}, the step by {Name(step)}",
    };

    /// <summary>What rules, as messages call it.</summary>
    public static string Name(SpacingRule rule) => rule switch
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

    /// <summary>What a pair breaks, with its numbers.</summary>
    public static string Reason(SpacingEffect effect, SpacingLimits limits, bool hasReserve) => effect.Breaks switch
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

    /// <summary>A spacing with its length.</summary>
    public static string Name(Spacing spacing, double nanometres) => spacing.IsInCodes
        ? $"{CountText.Of(spacing.Codes, "code", "codes")} ({Length(nanometres)})"
        : Length(nanometres);

    private static string Names(SpacingEffect effect) => $"{Name(effect.LinePitch, effect.LinePitchNanometres)} and {Name(effect.PointStep, effect.PointStepNanometres)}";

    private static string Dwell(SpacingEffect effect) => $"points of {Time(effect.ShortestDwellSeconds)}";

    private static string Time(double seconds) => QuantityText.Format(seconds, Dimension.Time, Digits);

    private static string Length(double nanometres) => QuantityText.Format(nanometres * 1e-9, Dimension.Length, Digits);

    private static string Rate(double bytesPerSecond) => QuantityText.Format(bytesPerSecond, Dimension.DataRate, Digits);

    // Rounded down: the current that is named must do. The slack keeps 5.3e-9 from becoming 5.2.
    private static string Current(double amperes)
    {
        const double Slack = 1e-12;
        double unit = Math.Pow(10, Math.Floor(Math.Log10(amperes * (1 + Slack))) - 1);
        return QuantityText.Format(Math.Floor(amperes / unit * (1 + Slack)) * unit, Dimension.Current, Digits);
    }

    private static string Speed(double nanometresPerSecond) => QuantityText.Format(nanometresPerSecond * 1e-9, Dimension.Speed, Digits);

    private static string Percent(double part) => part is > 0 and < 1e-6 ? "0%" : $"{QuantityText.Format(part * 100, Dimension.Fraction, 2)}%";
}
