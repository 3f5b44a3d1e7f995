using System.Collections.Immutable;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Generate.BringUp;

/// <summary>Squares at five rates, first of X, then of Y: at the outputs, and behind cables and a load.</summary>
internal static class Squares
{
    private const int Rates = 5;
    private const double SlowestHalfSeconds = 0.05;
    private const double FastestHalfSeconds = 5e-6;
    private const double SecondsPerRate = 0.5;
    private const int FewestPeriods = 4;
    private const int MostPeriods = 2000;
    private const double LoadOhms = 1000;

    /// <summary>The outputs themselves.</summary>
    public static BringUpStep AtOutputs(BringUpBench bench) => Step(bench, BringUpPhase.NoBeam, "squares", "Squares at five rates") with
    {
        Connect = "The scope as before, its inputs DC coupled. Trigger on the rising edge, first of X, then of Y.",
        LookAt =
        [
            "Flat tops at the slowest rate, edges without ringing at the fastest.",
            "The period of each rate against the table: it is the clock that all doses are counted in.",
            "The output that should rest: what it does at the other’s edges is crosstalk.",
        ],
        Faults =
        [
            ("Tops that droop at the slowest rate", "a capacitor in the way of the output, or a scope input that is AC coupled"),
            ("All periods longer by one factor", "'clock.rate' of the machine file is not the controller’s clock"),
            ("Single periods that are longer", "the link stalls: compare 'link' in the machine file with what 'patternc estimate' says of this stream"),
            ("Rounded edges at the fastest rates alone", "the amplifier’s bandwidth: measure its time constant and state it under 'settle'"),
            ("Sloped edges", "the amplifier’s speed limit: state it as 'settle.slew'"),
            ("Ringing", "a cable without termination, or an amplifier that dislikes a capacitive load"),
        ],
    };

    /// <summary>The far ends of the cables.</summary>
    public static BringUpStep AtLoad(BringUpBench bench)
    {
        double tau = bench.Machine.Settle.TimeConstantSeconds;
        BringUpStep step = Step(bench, BringUpPhase.DummyLoad, "load-squares", "Squares at a dummy load");
        return step with
        {
            Connect = tau > 0
                ? $"Each output through its own cable to {BringUpText.Number(LoadOhms)}\u00A0Ω in series with {BringUpText.Farads(tau / LoadOhms)} to ground, in place of the microscope’s scan input; the scope over the capacitor. The two make the time constant of the machine file."
                : "Each output through its own cable to a resistor as large as the input resistance that the microscope’s manual states (10 kΩ if it states none), in place of the scan input; the scope over the resistor. The machine file states no time constant.",
            Facts = [.. step.Facts, .. Response(bench)],
            LookAt =
            [
                tau > 0 ? "The rounded edges of the picture’s dashed line, and the times above." : "The same edges as at the outputs.",
                "The same tops as at the outputs: no volt is lost on the cables.",
                "Both channels once more with the cables exchanged at the load, to know which connector is X.",
            ],
            Faults =
            [
                ("Lower tops than before", "a series resistor, or an output that cannot drive the load"),
                ("Slower edges than the table", "the cable’s capacitance behind a series resistor adds to the load"),
                ("Edges that start as a slope", "the amplifier’s speed limit: state it as 'settle.slew'"),
                ("Ringing that was not there before", "the cable: a resistor in series at the output, as large as the cable’s impedance, takes it away"),
                ("Mains hum on flat tops", "a loop through the grounds of controller and scope, which the microscope would make larger"),
            ],
            Stop = ["The amplifier or the load becomes hot.", "The top of a square sags while you watch."],
        };
    }

    private static BringUpStep Step(BringUpBench bench, BringUpPhase phase, string name, string title)
    {
        ImmutableArray<Stretch> plan = Plan(bench);
        Stretch slowest = plan[0], fastest = plan[Rates - 1];
        return new BringUpStep(phase, name, title, Records(bench, plan))
        {
            Connect = "",
            Beam = BlankText.Off(bench.Machine.Blanker, "Squares are made of jumps."),
            Facts =
            [
                ("X low", bench.VoltsX(bench.X.LowerQuarter)),
                ("X high", bench.VoltsX(bench.X.UpperQuarter)),
                ("Y low", bench.VoltsY(bench.Y.LowerQuarter)),
                ("Y high", bench.VoltsY(bench.Y.UpperQuarter)),
            ],
            Table = new BringUpTable(
                "Rates",
                ["Output", "#Frequency", "#Half a period", "#Periods", "#From"],
                [
                    .. plan.Select(stretch => ImmutableArray.Create(
                        stretch.IsX ? "X" : "Y",
                        BringUpText.Hertz(bench.Hertz(2 * stretch.HalfTicks)),
                        BringUpText.Time(bench.Seconds(stretch.HalfTicks)),
                        BringUpText.Number(stretch.Periods, 9),
                        BringUpText.Time(bench.Seconds(stretch.FromTick)))),
                ]),
            LookAt = [],
            Faults = [],
            Stop = ["The amplifier becomes hot, or the picture on the scope changes while you watch."],
            Views =
            [
                new("slowest", $"X at {BringUpText.Hertz(bench.Hertz(2 * slowest.HalfTicks))}.", slowest.FromTick, 6 * slowest.HalfTicks),
                new("fastest", $"X at {BringUpText.Hertz(bench.Hertz(2 * fastest.HalfTicks))}.", fastest.FromTick, 6 * fastest.HalfTicks),
            ],
        };
    }

    // A first-order step leaves 1/e after a time constant; from 10 % to 90 % it takes ln 9 of them (any textbook of circuits).
    private static IEnumerable<(string Name, string Value)> Response(BringUpBench bench)
    {
        double tau = bench.Machine.Settle.TimeConstantSeconds;
        double slew = bench.Machine.Settle.SlewNanometresPerSecond;
        if (tau > 0)
        {
            int jump = Math.Max(bench.X.UpperQuarter - bench.X.LowerQuarter, bench.Y.UpperQuarter - bench.Y.LowerQuarter);
            yield return ("63.2\u00A0% of an edge after", BringUpText.Time(tau));
            yield return ("From 10\u00A0% to 90\u00A0%", BringUpText.Time(tau * Math.Log(9)));
            yield return ("Within half a code after", BringUpText.Time(tau * Math.Log(2.0 * jump)));
        }

        if (slew > 0)
        {
            yield return ("The machine file’s speed limit, at the X output", BringUpText.Slope(slew / Math.Abs(bench.NanometresPerCode.X) * bench.StepVolts));
        }
    }

    private static ImmutableArray<Stretch> Plan(BringUpBench bench)
    {
        // At least so many ticks that five rates are five.
        long fastest = bench.Ticks(FastestHalfSeconds);
        long slowest = Math.Max(bench.Ticks(SlowestHalfSeconds), fastest << (Rates - 1));
        var plan = ImmutableArray.CreateBuilder<Stretch>();
        long tick = slowest;
        for (int i = 0; i < 2 * Rates; i++)
        {
            double part = (double)(i % Rates) / (Rates - 1);
            long half = (long)Math.Round(slowest * Math.Pow((double)fastest / slowest, part));
            int periods = (int)Math.Clamp(SecondsPerRate / (2 * bench.Seconds(half)), FewestPeriods, MostPeriods);
            plan.Add(new Stretch(i < Rates, half, periods, tick));
            tick += 2 * half * periods + slowest;
        }

        return plan.ToImmutable();
    }

    // Before each rate both outputs rest in their middles for half of the slowest period.
    private static IEnumerable<DeflectionRecord> Records(BringUpBench bench, ImmutableArray<Stretch> plan)
    {
        (CodeSpan x, CodeSpan y) = (bench.X, bench.Y);
        foreach (DeflectionRecord rest in BringUpBench.Hold(x.Middle, y.Middle, plan[0].HalfTicks))
        {
            yield return rest;
        }

        foreach (Stretch stretch in plan)
        {
            for (int edge = 0; edge < 2 * stretch.Periods; edge++)
            {
                bool isHigh = edge % 2 == 0;
                yield return stretch.IsX
                    ? DeflectionRecord.Jump(isHigh ? x.UpperQuarter : x.LowerQuarter, y.Middle, stretch.HalfTicks)
                    : DeflectionRecord.Jump(x.Middle, isHigh ? y.UpperQuarter : y.LowerQuarter, stretch.HalfTicks);
            }

            foreach (DeflectionRecord rest in BringUpBench.Hold(x.Middle, y.Middle, plan[0].HalfTicks))
            {
                yield return rest;
            }
        }
    }

    private readonly record struct Stretch(bool IsX, long HalfTicks, int Periods, long FromTick);
}
