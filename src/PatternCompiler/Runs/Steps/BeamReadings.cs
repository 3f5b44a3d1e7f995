using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Runs.Steps;

/// <summary>
/// Readings of the beam current amid a run. From one follows how it goes on by what the machine file says of its change; from several by
/// the line through the last few, so that the error of a single one counts less. It is taken to go on so for as long as the last two lie
/// apart and not longer, and never beyond the limits. Of readings within a minute the last one counts; one that lies off the line through
/// those before it begins anew, since somebody has adjusted the gun.
/// </summary>
/// <param name="expectedAmperes">Current of the machine file.</param>
/// <param name="within">Largest part by which it may differ.</param>
internal sealed class BeamReadings(double expectedAmperes, double within)
{
    // All common practice, no source.
    private const double LeastSpanSeconds = 60;
    private const int MostReadings = 6;
    private const double AdjustedPart = 0.03;

    private readonly List<(DateTime Time, double Amperes)> readings = [];

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

        if (readings is [.., var last] && (time - last.Time).TotalSeconds < LeastSpanSeconds)
        {
            readings.RemoveAt(readings.Count - 1);
        }

        if (readings.Count > 1 && Math.Abs(amperes - At(time)) > AdjustedPart * expectedAmperes)
        {
            readings.Clear();
        }

        readings.Add((time, amperes));
        if (readings.Count > MostReadings)
        {
            readings.RemoveAt(0);
        }
    }

    /// <summary>The beam as it is expected from a time on.</summary>
    public Beam From(DateTime time, Beam beam)
    {
        if (readings.Count == 0)
        {
            return beam;
        }

        (DateTime read, double amperes) = readings[^1];
        double since = (time - read).TotalSeconds;
        (double slope, double span) = beam.Later is { } later ? ((later.Amperes - beam.CurrentAmperes) / later.Seconds, later.Seconds) : default;
        if (readings.Count > 1)
        {
            span = (read - readings[^2].Time).TotalSeconds;
            amperes = At(read);
            slope = (At(read.AddSeconds(span)) - amperes) / span;
        }

        double now = Limited(amperes + slope * Math.Clamp(since, 0, span)), end = Limited(amperes + slope * span);
        return beam with { CurrentAmperes = now, Later = span > since && end != now ? new CurrentReading(span - since, end) : null };
    }

    /// <summary>The line through the readings, of which there are two or more.</summary>
    private double At(DateTime time)
    {
        double[] seconds = [.. readings.Select(reading => (reading.Time - readings[0].Time).TotalSeconds)];
        double middle = seconds.Average(), mean = readings.Average(reading => reading.Amperes);
        double squares = seconds.Sum(at => (at - middle) * (at - middle));
        double slope = seconds.Zip(readings).Sum(pair => (pair.First - middle) * (pair.Second.Amperes - mean)) / squares;
        return mean + slope * ((time - readings[0].Time).TotalSeconds - middle);
    }

    private double Limited(double amperes) => Math.Clamp(amperes, (1 - within) * expectedAmperes, (1 + within) * expectedAmperes);

    private static string Text(double amperes) => QuantityText.Format(amperes, Dimension.Current, 4);
}
