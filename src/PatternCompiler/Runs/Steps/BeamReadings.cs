using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Runs.Steps;

/// <summary>
/// Readings of the beam current amid a run. From the last two follows how it changes; it is taken to go on so for as long as the two lie
/// apart and not longer, and never beyond the limits. Readings within a minute tell of the meter rather than of the beam: the last one counts.
/// </summary>
/// <param name="expectedAmperes">Current of the machine file.</param>
/// <param name="within">Largest part by which it may differ.</param>
internal sealed class BeamReadings(double expectedAmperes, double within)
{
    // Common practice, no source.
    private const double LeastSpanSeconds = 60;

    private (DateTime Time, double Amperes)? earlier;
    private (DateTime Time, double Amperes)? last;

    /// <summary>Takes a reading.</summary>
    /// <exception cref="CompileException">It is beyond the limits.</exception>
    public void Add(DateTime time, double amperes)
    {
        if (!(Math.Abs(amperes - expectedAmperes) <= within * expectedAmperes))
        {
            throw new CompileException(
                RunCodes.CurrentBeyondLimits,
                $"the current was read as {Text(amperes)}, and the machine file has {Text(expectedAmperes)}: more than {NumberText.Format(Math.Round(100 * within, 3))} % apart",
                fix: "look for another aperture, a misread meter or a wrong unit; a current that is right belongs into 'beam.current', and 'run.current_within' widens the limits");
        }

        earlier = last is { } before && (time - before.Time).TotalSeconds >= LeastSpanSeconds ? last : earlier;
        last = (time, amperes);
    }

    /// <summary>The beam as it is expected from a time on.</summary>
    public Beam From(DateTime time, Beam beam)
    {
        if (last is not var (read, amperes))
        {
            return beam;
        }

        if (earlier is not var (before, first))
        {
            return beam with { CurrentAmperes = amperes, Later = null };
        }

        double span = (read - before).TotalSeconds;
        double slope = (amperes - first) / span;
        double now = Limited(amperes + slope * Math.Clamp((time - read).TotalSeconds, 0, span));
        double end = Limited(amperes + slope * span);
        double left = span - (time - read).TotalSeconds;
        return beam with { CurrentAmperes = now, Later = left > 0 && end != now ? new CurrentReading(left, end) : null };
    }

    private double Limited(double amperes) => Math.Clamp(amperes, (1 - within) * expectedAmperes, (1 + within) * expectedAmperes);

    private static string Text(double amperes) => QuantityText.Format(amperes, Dimension.Current, 4);
}
