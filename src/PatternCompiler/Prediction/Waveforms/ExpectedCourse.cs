using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Prediction.Waveforms;

/// <summary>The course of the lines at any time of a window, state by state: what measured traces are compared with.</summary>
/// <param name="header">Converters and clock.</param>
internal sealed class ExpectedCourse(RecordsHeader header)
{
    /// <summary>Most states; a window with more of them holds nothing that a scope's memory shows.</summary>
    public const int MostStates = 1 << 17;

    private readonly List<(double From, HeldState State, (AxisMotion X, AxisMotion Y)? Beam)> states = [];
    private double end;

    /// <summary>Start of the course in seconds of the exposure.</summary>
    public double FromSeconds => states.Count > 0 ? states[0].From : 0;

    /// <summary>Its end.</summary>
    public double ToSeconds => end;

    /// <summary>The exposure ends where the course does, and scan-enable falls.</summary>
    public bool ReachesEnd { get; set; }

    /// <summary>Adds the next state.</summary>
    /// <param name="tick">Its first tick.</param>
    /// <param name="state">What is commanded.</param>
    /// <param name="beam">How the beam follows from there on, in codes; null for at once.</param>
    /// <exception cref="CompileException">There are too many of them.</exception>
    public void Add(long tick, in HeldState state, (AxisMotion X, AxisMotion Y)? beam)
    {
        if (states.Count == MostStates)
        {
            throw new CompileException(
                PredictionCodes.UnfitTrace,
                $"the window holds more than {MostStates} steps of the outputs, too many to compare with a measured trace",
                fix: "choose the part of the exposure that was measured, with --from and --for");
        }

        states.Add((tick / header.ClockHertz, state, beam));
        end = (tick + state.Ticks) / header.ClockHertz;
    }

    /// <summary>What a line is at rising times: volts of an output, 1 or 0 of a level. Not a number outside of the course.</summary>
    public void Fill(TraceLine line, ReadOnlySpan<double> seconds, Span<double> values)
    {
        int at = seconds.Length > 0 ? StateAt(seconds[0]) : 0;
        for (int i = 0; i < seconds.Length; i++)
        {
            double time = seconds[i];
            while (at + 1 < states.Count && states[at + 1].From <= time)
            {
                at++;
            }

            values[i] = states.Count == 0 ? double.NaN
                : time < states[0].From ? (line == TraceLine.ScanEnable && states[0].From == 0 ? 0 : double.NaN)
                : time > end ? (line == TraceLine.ScanEnable && ReachesEnd ? 0 : double.NaN)
                : ValueOf(line, states[at], time);
        }
    }

    // The last state that has begun, or the first one.
    private int StateAt(double time)
    {
        (int low, int high) = (0, states.Count);
        while (high - low > 1)
        {
            int middle = (low + high) / 2;
            (low, high) = states[middle].From <= time ? (middle, high) : (low, middle);
        }

        return low;
    }

    private double ValueOf(TraceLine line, in (double From, HeldState State, (AxisMotion X, AxisMotion Y)? Beam) known, double time)
    {
        Dac dac = header.Dac;
        BlankLevel level = header.BlankLevel;
        return line switch
        {
            TraceLine.X => dac.MinimumVolts + dac.LsbVolts * (known.State.X + (known.Beam?.X.After(time - known.From) ?? 0)),
            TraceLine.Y => dac.MinimumVolts + dac.LsbVolts * (known.State.Y + (known.Beam?.Y.After(time - known.From) ?? 0)),
            TraceLine.Blank => known.State.IsOn == (level == BlankLevel.High) ? 0 : 1,
            _ => 1,
        };
    }
}
