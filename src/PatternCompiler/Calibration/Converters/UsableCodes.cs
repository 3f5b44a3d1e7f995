using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.Converters;

/// <summary>
/// Where an amplifier stops following its converter. From each end inward, an output that rises from one code to the next by less than
/// 99 % of what it rises elsewhere does not follow there, if what is missing is more than any carry or the meter explains; the
/// first rise that is whole ends the search. Where it had to be searched, one code more is given up: clipping may begin anywhere between
/// two codes, and the straight line between them would hide it.
/// </summary>
internal static class UsableCodes
{
    /// <summary>An amplifier bends by a part in a thousand before it clips, and not by a hundredth: common practice, no source.</summary>
    private const double LargestShortfall = 0.01;

    /// <summary>No carry is off by more than this part of the range, 8 steps of 16 bits: common practice, no source.</summary>
    private const double LargestCarry = 1.0 / 8192;

    /// <summary>Standard errors of a reading by which a difference of two may be off.</summary>
    private const double MeterErrors = 7;

    /// <summary>Codes that are followed, as far as they were read.</summary>
    /// <param name="readings">Of one output.</param>
    /// <param name="gain">Steps of output per code where it follows.</param>
    /// <param name="errorSteps">Standard error of a reading.</param>
    /// <param name="codeCount">Codes of the converter.</param>
    public static (CodeRange Usable, bool ClipsLow, bool ClipsHigh) Of(IReadOnlyList<ConverterReading> readings, double gain, double errorSteps, int codeCount)
    {
        double unexplained = Math.Max(CarrySteps(codeCount), MeterErrors * errorSteps);

        // A single reading that was taken down too low must not look like an end: the outermost of each code counts.
        (int Code, double Low, double High)[] codes =
            [.. readings.GroupBy(r => r.Code).OrderBy(g => g.Key).Select(g => (g.Key, g.Min(r => r.Steps), g.Max(r => r.Steps)))];
        (int highest, bool clipsHigh) = End([.. codes.Select(c => (c.Code, c.High))], gain, unexplained);
        (int lowest, bool clipsLow) = End([.. codes.Reverse().Select(c => (-c.Code, -c.Low))], gain, unexplained);
        return (new CodeRange(-lowest, highest), clipsLow, clipsHigh);
    }

    /// <summary>Steps that a carry may be off by.</summary>
    public static double CarrySteps(int codeCount) => Math.Max(1, codeCount * LargestCarry);

    /// <summary>The last code that is followed, of codes that rise.</summary>
    private static (int Code, bool Clips) End((int Code, double Steps)[] codes, double gain, double unexplained)
    {
        // Codes too close together for the difference to tell anything go with the one further out.
        var far = new List<(int Code, double Steps)> { codes[^1] };
        foreach ((int Code, double Steps) code in codes.Reverse())
        {
            if (gain * (far[^1].Code - code.Code) >= 2 * unexplained)
            {
                far.Add(code);
            }
        }

        int at = 0;
        while (at + 1 < far.Count)
        {
            double expected = gain * (far[at].Code - far[at + 1].Code);
            if (expected - (far[at].Steps - far[at + 1].Steps) <= Math.Max(LargestShortfall * expected, unexplained))
            {
                break;
            }

            at++;
        }

        return at == 0 ? (far[0].Code, false) : (far[Math.Min(at + 1, far.Count - 1)].Code, true);
    }
}
