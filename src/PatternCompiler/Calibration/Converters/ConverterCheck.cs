using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Converters;

/// <summary>Readings that are no voltages of two outputs: each refusal says why.</summary>
internal static class ConverterCheck
{
    private const int FewestCodes = 3;

    // An amplifier's gain is off by a tenth, not by a half: common practice, no source.
    private const double SmallestGain = 0.5;
    private const double LargestGain = 2;

    /// <summary>Less than this part of the codes is no output to write with: common practice, no source.</summary>
    private const double SmallestUsable = 0.25;

    /// <summary>Both outputs, at several codes each.</summary>
    public static void RequireBoth(IReadOnlyList<ConverterReading> readings)
    {
        foreach (char axis in "xy")
        {
            int codes = readings.Where(r => r.Axis == axis).Select(r => r.Code).Distinct().Count();
            if (codes == 0)
            {
                char other = axis == 'x' ? 'y' : 'x';
                throw new CompileException(
                    CalibrationCodes.NotCovered,
                    $"all readings are of output {other}: nothing is known of output {axis}, not even what voltage it had beside them",
                    fix: $"read output {axis}, too ('patternc generate converter-readings' writes the table to fill in)");
            }

            if (codes < FewestCodes)
            {
                throw new CompileException(
                    CalibrationCodes.TooFewMeasurements,
                    $"output {axis} was read at {CountText.Of(codes, "code", "codes")}, which determine a straight line at the most",
                    fix: "read both sides of each large carry and both ends ('patternc generate converter-readings' writes the table to fill in)");
            }
        }
    }

    /// <summary>Steps of output per code where the amplifier follows; more than a third of all codes may be clipped.</summary>
    public static double Gain(IReadOnlyList<ConverterReading> readings, char axis, Dac dac)
    {
        (int Code, double Steps)[] codes = [.. readings.GroupBy(r => r.Code).OrderBy(g => g.Key).Select(g => (g.Key, ConverterOutliers.Median(g.Select(r => r.Steps))))];
        RequireOwnCode(readings, axis);

        // Over an eighth of the range carries hardly count, and few of these slopes reach into an end that clips; from both ends, so that either counts the same.
        int eighth = dac.CodeCount / 8;
        double[] slopes =
        [
            .. codes.Where(low => low.Code + eighth <= codes[^1].Code).Select(low => Slope(low, codes.First(high => high.Code >= low.Code + eighth))),
            .. codes.Where(high => high.Code - eighth >= codes[0].Code).Select(high => Slope(codes.Last(low => low.Code <= high.Code - eighth), high)),
        ];
        (double gain, double steepest) = slopes.Length > 0 ? (ConverterOutliers.Median(slopes), slopes.Max()) : (Slope(codes[0], codes[^1]), double.NaN);
        if (gain < 0)
        {
            throw new CompileException(
                CalibrationCodes.Contradiction,
                $"the voltage of output {axis} falls where its code rises",
                fix: $"exchange the leads of the meter or of the output; where the amplifier really inverts, write the voltages with the other sign and state 'invert_{axis}' in the machine file");
        }

        if (gain < SmallestGain && steepest is > SmallestGain and < LargestGain)
        {
            throw ClipsNearlyAll(axis, "over about half of the codes that were read, or more");
        }

        return gain is > SmallestGain and < LargestGain ? gain : throw new CompileException(
            CalibrationCodes.Contradiction,
            $"output {axis} changes by {Volts(gain * dac.LsbVolts * dac.CodeCount)} over all codes, but the machine file states {Volts(dac.LsbVolts * dac.CodeCount)}",
            fix: gain is > 500 and < 2000 or > 0.0005 and < 0.002
                ? "the unit in the header is a thousandfold off: 'volts [mV]' or 'volts [V]'"
                : "state the range of the outputs as 'dac.lowest' and 'dac.highest', and look for a wrong unit in the header");
    }

    /// <summary>What is left is enough, and holds the middle of the range.</summary>
    public static void RequireUsable(CodeRange usable, char axis, Dac dac)
    {
        if (usable.Highest - usable.Lowest < SmallestUsable * dac.CodeCount || usable.Lowest >= dac.CodeCount / 2 || usable.Highest < dac.CodeCount / 2)
        {
            throw ClipsNearlyAll(axis, $"except from code {usable.Lowest} to {usable.Highest}");
        }
    }

    /// <summary>Readings of the same output at the same codes agree.</summary>
    /// <param name="readings">Those that are used.</param>
    /// <param name="errorSteps">Standard error of a reading; 0 where nothing is known of it.</param>
    /// <param name="dac">The converters.</param>
    public static void RequireAgreement(IReadOnlyList<ConverterReading> readings, double errorSteps, Dac dac)
    {
        const double LargestErrors = 8;
        double limit = Math.Max(LargestErrors * errorSteps, UsableCodes.CarrySteps(dac.CodeCount));
        foreach (IGrouping<(int, int), ConverterReading> same in readings.GroupBy(r => (r.Code, r.Other)))
        {
            (ConverterReading low, ConverterReading high) = (same.MinBy(r => r.Steps), same.MaxBy(r => r.Steps));
            if (high.Steps - low.Steps > limit)
            {
                (ConverterReading first, ConverterReading second) = low.Row < high.Row ? (low, high) : (high, low);
                throw new CompileException(new Diagnostic(
                    CalibrationCodes.ReadingsDisagree,
                    Severity.Error,
                    $"output {first.Axis} was read twice at code {first.Code} with the other at {first.Other}: {Volts(dac.MinimumVolts + first.Steps * dac.LsbVolts)} (measurement {first.Row + 1}) and {Volts(dac.MinimumVolts + second.Steps * dac.LsbVolts)} (measurement {second.Row + 1})",
                    Fix: "read it again, and put # in front of the line that was wrong")
                { Measurement = second.Row });
            }
        }
    }

    /// <summary>An output follows its own code, not that of the other.</summary>
    private static void RequireOwnCode(IReadOnlyList<ConverterReading> readings, char axis)
    {
        if (readings.Select(r => r.Other).Distinct().Count() < 2)
        {
            return;
        }

        double meanCode = readings.Average(r => (double)r.Code), meanOther = readings.Average(r => (double)r.Other), meanSteps = readings.Average(r => r.Steps);
        double cc = 0, oo = 0, co = 0, cs = 0, os = 0;
        foreach (ConverterReading r in readings)
        {
            (double c, double o, double s) = (r.Code - meanCode, r.Other - meanOther, r.Steps - meanSteps);
            (cc, oo, co, cs, os) = (cc + c * c, oo + o * o, co + c * o, cs + c * s, os + o * s);
        }

        double determinant = cc * oo - co * co;
        if (determinant > 1e-6 * cc * oo && Math.Abs((cc * os) - (co * cs)) > Math.Abs((oo * cs) - (co * os)))
        {
            throw new CompileException(
                CalibrationCodes.Contradiction,
                $"the voltage of output {axis} follows the code of the other output more than its own",
                fix: "look for exchanged outputs, or exchanged columns 'code' and 'other'");
        }
    }

    private static CompileException ClipsNearlyAll(char axis, string where) => new(
        CalibrationCodes.AmplifierClips,
        $"output {axis} does not follow its code {where}",
        fix: "lower the gain of its amplifier or raise its supply, and measure again");

    private static double Slope((int Code, double Steps) first, (int Code, double Steps) second) => (second.Steps - first.Steps) / (second.Code - first.Code);

    private static string Volts(double volts) => QuantityText.Format(volts, Dimension.Voltage, 6);
}
