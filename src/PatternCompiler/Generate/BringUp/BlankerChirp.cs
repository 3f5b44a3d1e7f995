using System.Collections.Immutable;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Generate.BringUp;

/// <summary>The blank line at rising rates: a chirp for the scope, and rates that last long enough for a current meter.</summary>
internal static class BlankerChirp
{
    private const int ChirpRates = 16;
    private const double SlowestHalfSeconds = 0.005;
    private const double SecondsPerRate = 0.02;
    private const int FewestPeriods = 4;
    private const int MostPeriods = 200;
    private const int MeterRates = 5;
    private const double MeterFastestHalfSeconds = 20e-6;
    private const double MeterSlowestHalfSeconds = 0.01;
    private const double MeterSeconds = 2;
    private const int MostMeterPeriods = 50_000;

    /// <summary>The controller’s pin.</summary>
    public static BringUpStep AtOutput(BringUpBench bench) => Chirp(bench, BringUpPhase.NoBeam, "blanker-chirp", "Blanker chirp") with
    {
        Connect = "The scope at the controller’s blank line, DC coupled.",
        Beam = BlankText.Moves(bench.Machine.Blanker, "It is what this step looks at, and so the high voltage is off."),
        LookAt =
        [
            $"The line rests {BlankText.OffLevel(bench.Machine.Blanker)} before and after, and while the controller is without power.",
            "Equal times high and low at every rate, each rate of the table.",
            "X and Y: they stay in their middles.",
        ],
        Faults =
        [
            ("The line rests at the other level", "'blanker.active' of the machine file or the board’s polarity is wrong: settle it now, everything after depends on it"),
            ("Unequal times high and low", "the receiver turns the beam off between records, or its dwells count a tick too many or too few"),
            ("Single long times off", "the link stalls while the beam should be on"),
            ("Outputs that move with the line", "the blanker’s current flows through the outputs’ ground"),
        ],
        Stop = [$"The line is not {BlankText.OffLevel(bench.Machine.Blanker)} when nothing is sent or the power is off: add the resistor that the stream’s page asks for before you go on."],
    };

    /// <summary>The far end of the blanker’s cable.</summary>
    public static BringUpStep AtLoad(BringUpBench bench) => Chirp(bench, BringUpPhase.DummyLoad, "load-blanker-chirp", "Blanker chirp at the far end of its cable") with
    {
        Connect = "The blank line through its own cable and driver to the connector of the blanker, the blanker not yet connected; the scope there.",
        Beam = BlankText.Moves(bench.Machine.Blanker, "Driver and cable show nothing at rest. The high voltage is off."),
        LookAt =
        [
            "The levels that the blanker or its amplifier asks for, at every rate.",
            $"Pull the cable at the controller’s end while nothing is sent: the far end has to stand {BlankText.OffLevel(bench.Machine.Blanker)}, by its resistor.",
            "Then the blanker itself in place of the scope, with the high voltage still off: nothing becomes warm.",
        ],
        Faults =
        [
            ("Levels too small at high rates", "a driver too weak for the cable"),
            ("Edges that ring across the threshold", "no termination"),
            ("With the cable pulled the far end floats or stands at the level of beam on", "no resistor at the blanker’s end"),
        ],
        Stop = ["The pulled cable leaves the line at the level of beam on. Do not turn the beam on before that is mended."],
    };

    /// <summary>Rates for a picoammeter behind a Faraday cup.</summary>
    public static BringUpStep OnCup(BringUpBench bench)
    {
        ImmutableArray<Rate> plan = Plan(bench, MeterRates, MeterSlowestHalfSeconds, MeterFastestHalfSeconds, half => Math.Clamp(MeterSeconds / (2 * half), FewestPeriods, MostMeterPeriods), bench.Ticks(1));
        Machine machine = bench.Machine;
        return new BringUpStep(BringUpPhase.BeamOnScrap, "cup-current", "Blanked current at five rates", Records(bench, plan))
        {
            Connect = "The beam in a Faraday cup, a meter of the current behind it. Outputs and blanker at the microscope.",
            Beam = BlankText.Moves(machine.Blanker, "Half of the time, so that the mean current tells what the edges take away."),
            Facts =
            [
                ("Current with the beam on, by the machine file", BringUpText.Current(machine.Beam.CurrentAmperes)),
                ("Current between the rates, beam off", BringUpText.Current(machine.Beam.CurrentAmperes * machine.Blanker.LeakFraction)),
            ],
            Table = new BringUpTable(
                "Rates and the mean current by the machine file’s delays and leak",
                ["#Frequency", "#Half a period", "#From", "#Lasts", "#Mean current"],
                [
                    .. plan.Select(rate => ImmutableArray.Create(
                        BringUpText.Hertz(bench.Hertz(2 * rate.HalfTicks)),
                        BringUpText.Time(bench.Seconds(rate.HalfTicks)),
                        BringUpText.Time(bench.Seconds(rate.FromTick)),
                        BringUpText.Time(bench.Seconds(2 * rate.HalfTicks * rate.Periods)),
                        MeanCurrent(machine, bench.Seconds(rate.HalfTicks)) is { } mean ? BringUpText.Current(mean) : "–")),
                ]),
            LookAt =
            [
                "Between the rates: no current but the leak.",
                "At the slow rates: half of the current. What is more or less at the fast ones is the difference of the delays times the rate: off_delay − on_delay = (mean / current − 1/2) / frequency. For each delay by itself, rise and fall: 'patternc generate blanker-readings' and 'patternc fit blanker'.",
            ],
            Faults =
            [
                ("Current with the beam off", "the blanker leaks: too little voltage, or a beam that it does not move off its aperture; state 'leak' if it cannot be mended"),
                ("No current at all", "the line’s polarity is wrong, or the beam misses the cup"),
                ("A mean that drifts", "the beam current itself drifts: wait, or state 'beam.later'"),
            ],
            Stop = ["The current does not vanish between the rates.", "The beam leaves the cup."],
            Views = [new("", "The first periods of the slowest rate.", plan[0].FromTick, 6 * plan[0].HalfTicks)],
        };
    }

    // While a delay is shorter than half a period it shifts an edge and nothing more.
    private static double? MeanCurrent(Machine machine, double halfSeconds)
    {
        Blanker blanker = machine.Blanker;
        double on = (halfSeconds + blanker.OffDelaySeconds - blanker.OnDelaySeconds) / (2 * halfSeconds);
        return Math.Max(blanker.OffDelaySeconds, blanker.OnDelaySeconds) < halfSeconds
            ? machine.Beam.CurrentAmperes * (on + blanker.LeakFraction * (1 - on))
            : null;
    }

    private static BringUpStep Chirp(BringUpBench bench, BringUpPhase phase, string name, string title)
    {
        ImmutableArray<Rate> plan = Plan(bench, ChirpRates, SlowestHalfSeconds, 0, half => Math.Clamp(SecondsPerRate / (2 * half), FewestPeriods, MostPeriods), 0);
        Rate fastest = plan[^1];
        return new BringUpStep(phase, name, title, Records(bench, plan))
        {
            Connect = "",
            Beam = "",
            Facts =
            [
                ("Beam on first after", BringUpText.Time(bench.Seconds(plan[0].FromTick))),
                ("Whole chirp", BringUpText.Time(bench.Seconds(fastest.FromTick + 2 * fastest.HalfTicks * fastest.Periods))),
                ("Blanker’s delays, on and off", $"{BringUpText.Time(bench.Machine.Blanker.OnDelaySeconds)} and {BringUpText.Time(bench.Machine.Blanker.OffDelaySeconds)}"),
            ],
            Table = new BringUpTable(
                "Rates, on and off for half a period each",
                ["#Frequency", "#Half a period", "#Periods", "#From"],
                [
                    .. plan.Select(rate => ImmutableArray.Create(
                        BringUpText.Hertz(bench.Hertz(2 * rate.HalfTicks)),
                        BringUpText.Time(bench.Seconds(rate.HalfTicks)),
                        BringUpText.Number(rate.Periods, 9),
                        BringUpText.Time(bench.Seconds(rate.FromTick)))),
                ]),
            LookAt = [],
            Faults = [],
            Stop = [],
            Views =
            [
                new("", "All rates.", 0, fastest.FromTick + 2 * fastest.HalfTicks * fastest.Periods),
                new("fastest", "The fastest rate; dashed what the beam makes of it.", fastest.FromTick, 8 * fastest.HalfTicks),
            ],
        };
    }

    private static ImmutableArray<Rate> Plan(BringUpBench bench, int rates, double slowestSeconds, double fastestSeconds, Func<double, double> periodsOf, long restTicks)
    {
        Machine machine = bench.Machine;
        long fastest = bench.Exposable(Math.Max(bench.Ticks(fastestSeconds), (long)Math.Ceiling(machine.Blanker.ShortestPulseSeconds * machine.Clock.Hertz)));
        long slowest = Math.Max(bench.Ticks(slowestSeconds), 4 * fastest);
        var plan = ImmutableArray.CreateBuilder<Rate>();
        long tick = Math.Max(slowest, restTicks);
        long last = long.MaxValue;
        for (int i = 0; i < rates; i++)
        {
            long half = Math.Max(fastest, bench.Exposable((long)Math.Round(slowest * Math.Pow((double)fastest / slowest, (double)i / (rates - 1)))));
            if (half >= last)
            {
                // Slow clocks have fewer rates.
                continue;
            }

            int periods = (int)periodsOf(bench.Seconds(half));
            plan.Add(new Rate(half, periods, tick));
            tick += 2 * half * periods + restTicks;
            last = half;
        }

        return plan.ToImmutable();
    }

    private static IEnumerable<DeflectionRecord> Records(BringUpBench bench, ImmutableArray<Rate> plan)
    {
        (int x, int y) = (bench.X.Middle, bench.Y.Middle);
        long tick = 0;
        foreach (Rate rate in plan)
        {
            if (rate.FromTick > tick)
            {
                foreach (DeflectionRecord rest in BringUpBench.Hold(x, y, rate.FromTick - tick))
                {
                    yield return rest;
                }
            }

            for (int i = 0; i < rate.Periods; i++)
            {
                foreach (DeflectionRecord dot in bench.Expose(x, y, rate.HalfTicks))
                {
                    yield return dot;
                }

                yield return DeflectionRecord.Jump(x, y, rate.HalfTicks);
            }

            tick = rate.FromTick + 2 * rate.HalfTicks * rate.Periods;
        }
    }

    private readonly record struct Rate(long HalfTicks, int Periods, long FromTick);
}
