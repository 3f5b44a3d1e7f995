using System.Collections.Immutable;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Generate.BringUp;

/// <summary>Both outputs in a circle, X ahead of Y by a quarter of a turn: at the outputs, and at a load.</summary>
internal static class Circle
{
    private const int PointsPerTurn = 200;
    private const double TurnSeconds = 1e-3;
    private const int Turns = 250;

    /// <summary>The outputs themselves.</summary>
    public static BringUpStep AtOutputs(BringUpBench bench) => Step(bench, BringUpPhase.NoBeam, "circle", "Both outputs in a circle") with
    {
        Connect = "The scope in its XY mode, then over time.",
        LookAt =
        [
            "A circle that closes, drawn counterclockwise from the right.",
            "Over time: two sines of one height, Y later than X by a quarter of a period.",
        ],
        Faults =
        [
            ("An ellipse along the axes", "unequal gains of the outputs or of the scope’s channels"),
            ("A leaning ellipse", "one output is later than the other: the codes are loaded one after another, or one amplifier is slower"),
            ("Clockwise", "an output, or a channel of the scope, is inverted"),
            ("Steps that are longer at one place of each turn", "the link stalls at the ends of blocks"),
            ("Corners or flats on the left or the right", "a missing bit, or an amplifier that clips"),
        ],
    };

    /// <summary>The far ends of the cables.</summary>
    public static BringUpStep AtLoad(BringUpBench bench)
    {
        BringUpStep step = Step(bench, BringUpPhase.DummyLoad, "load-circle", "Both outputs in a circle at a dummy load");
        double tau = bench.Machine.Settle.TimeConstantSeconds;
        double phase = 2 * Math.PI * bench.Hertz(TurnTicks(bench)) * tau;
        return step with
        {
            Connect = "As in the step before, the scope in its XY mode.",
            Facts =
            [
                .. step.Facts,
                .. tau > 0
                    ? [
                        ("Behind the load’s time constant, height of the sines", BringUpText.Percent(1 / Math.Sqrt(1 + phase * phase))),
                        ("and their lag", $"{BringUpText.Number(Math.Atan(phase) * 180 / Math.PI)}°, {BringUpText.Time(Math.Atan(phase) / (2 * Math.PI * bench.Hertz(TurnTicks(bench))))}"),
                    ]
                    : ImmutableArray<(string, string)>.Empty,
            ],
            LookAt = ["The same circle as at the outputs, no smaller than the number above says.", "No lean: both cables and loads are equal."],
            Faults =
            [
                ("A leaning ellipse that was a circle before", "unequal cables or loads; at the microscope it would be unequal inputs"),
                ("A circle that trembles", "hum: see whether it turns with the mains, and at how many volts"),
                ("A smaller circle", "the load is heavier than the output bears"),
            ],
        };
    }

    private static long TurnTicks(BringUpBench bench) => PointsPerTurn * bench.Ticks(TurnSeconds / PointsPerTurn);

    private static BringUpStep Step(BringUpBench bench, BringUpPhase phase, string name, string title)
    {
        int radius = (Math.Min(bench.X.Steps, bench.Y.Steps) + 1) / 4;
        long turn = TurnTicks(bench);
        return new BringUpStep(phase, name, title, Records(bench, radius, turn / PointsPerTurn, Turns))
        {
            Connect = "",
            Beam = BlankText.Off(bench.Machine.Blanker, "Circles of this kind are made of jumps."),
            Facts =
            [
                ("Turns a second", BringUpText.Hertz(bench.Hertz(turn))),
                ("One turn", BringUpText.Time(bench.Seconds(turn))),
                ("Points of a turn", $"{PointsPerTurn}, each {BringUpText.Time(bench.Seconds(turn / PointsPerTurn))}"),
                ("X", $"{bench.VoltsX(bench.X.Middle - radius)} to {bench.VoltsX(bench.X.Middle + radius)}"),
                ("Y", $"{bench.VoltsY(bench.Y.Middle - radius)} to {bench.VoltsY(bench.Y.Middle + radius)}"),
                ("Y is later than X by", $"90°, {BringUpText.Time(bench.Seconds(turn) / 4)}"),
            ],
            LookAt = [],
            Faults = [],
            Stop = ["An output leaves its range, or an amplifier becomes hot."],
            Views = [new("", "Two turns.", 0, 2 * turn)],
        };
    }

    /// <summary>Turns of a circle about the middles, made of jumps.</summary>
    public static IEnumerable<DeflectionRecord> Records(BringUpBench bench, int radius, long ticks, int turns)
    {
        (int X, int Y)[] places = [.. Enumerable.Range(0, PointsPerTurn).Select(i => Place(bench, radius, i))];
        for (int turn = 0; turn < turns; turn++)
        {
            foreach ((int x, int y) in places)
            {
                yield return DeflectionRecord.Jump(x, y, ticks);
            }
        }
    }

    private static (int X, int Y) Place(BringUpBench bench, int radius, int point)
    {
        (double sine, double cosine) = Math.SinCos(2 * Math.PI * point / PointsPerTurn);
        return (bench.X.Middle + (int)Math.Round(radius * cosine, MidpointRounding.AwayFromZero), bench.Y.Middle + (int)Math.Round(radius * sine, MidpointRounding.AwayFromZero));
    }
}
