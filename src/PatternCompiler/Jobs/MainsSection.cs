using System.Collections.Immutable;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads the sections of a machine file about the mains: the trigger input and the hum.</summary>
internal static class MainsSection
{
    private const double LowestHertz = 0.1;
    private const double HighestHertz = 1e6;
    private const double PeriodsOfWait = 5;
    private const int MostWaves = 10;

    /// <summary>The trigger input of a controller.</summary>
    public static TriggerInput ReadTrigger(YamlNode node, Clock clock, Blanker blanker)
    {
        YamlMapping trigger = node.AsMapping();
        if (!blanker.IsPresent)
        {
            throw node.OutOfRange(
                $"{node.Name} needs a blanker: while an edge is waited for, the beam would expose the place where it waits",
                "leave it out, or describe the blanker");
        }

        double hertz = ReadFrequency(trigger.Required("frequency"));
        if (trigger.Optional("longest_wait") is not YamlNode wait)
        {
            return new TriggerInput(hertz, PeriodsOfWait / hertz);
        }

        double seconds = wait.AsPositive(Unit.Second);
        return seconds <= 1 / hertz
            ? throw wait.OutOfRange(
                $"{wait.Name} must be longer than the {QuantityText.Format(1 / hertz, Dimension.Time)} from edge to edge, but it is {wait.AsText()}",
                "allow some periods")
            : new TriggerInput(hertz, seconds).LongestWaitTicks(clock.Hertz) > StreamFormat.LargestPair
                ? throw wait.OutOfRange(
                    $"{wait.Name} must be at most {QuantityText.Format(StreamFormat.LargestPair / clock.Hertz, Dimension.Time)}, 2^32 - 1 ticks, but it is {wait.AsText()}",
                    "allow some periods")
                : new TriggerInput(hertz, seconds);
    }

    /// <summary>The hum.</summary>
    public static Hum ReadHum(YamlNode node)
    {
        YamlMapping hum = node.AsMapping();
        return new Hum(
            ReadFrequency(hum.Required("frequency")),
            ReadWaves(hum.Optional("x"), hum.Optional("x_phase")),
            ReadWaves(hum.Optional("y"), hum.Optional("y_phase")));
    }

    private static double ReadFrequency(YamlNode node)
    {
        double hertz = node.AsPositive(Unit.Hertz);
        return hertz is >= LowestHertz and <= HighestHertz
            ? hertz
            : throw node.OutOfRange($"{node.Name} must be from 0.1 Hz to 1 MHz, but it is {node.AsText()}", "look for a wrong unit");
    }

    private static ImmutableArray<HumWave> ReadWaves(YamlNode? amplitudes, YamlNode? phases)
    {
        if (amplitudes is null)
        {
            return phases is null ? [] : throw phases.OutOfRange($"{phases.Name} stands without an amplitude", "say how far the hum swings");
        }

        IReadOnlyList<YamlNode> sizes = amplitudes.AsOneOrMore();
        IReadOnlyList<YamlNode> angles = phases?.AsOneOrMore() ?? [];
        if (sizes.Count > MostWaves)
        {
            throw amplitudes.OutOfRange($"{amplitudes.Name} has {sizes.Count} amplitudes, at most {MostWaves} are taken", "leave out the small ones");
        }

        return angles.Count > sizes.Count
            ? throw phases!.OutOfRange($"{phases.Name} has {angles.Count} phases for {CountText.Of(sizes.Count, "amplitude", "amplitudes")}", "give one phase for each amplitude")
            : [.. sizes.Select((size, i) => new HumWave(size.AsNonNegative(Unit.Nanometre), i < angles.Count ? angles[i].AsQuantityIn(Unit.Degree) : 0))];
    }
}
