using System.Collections.Immutable;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Generate.BringUp;

/// <summary>The first two steps: outputs at rest for a voltmeter, and sawtooths.</summary>
internal static class HoldAndRamp
{
    private const double HoldSeconds = 5;
    private const double RampSeconds = 0.1;
    private const int MostSteps = 1024;
    private const int Sweeps = 5;

    /// <summary>Each output at its middle and its ends.</summary>
    public static BringUpStep Hold(BringUpBench bench)
    {
        (int X, int Y)[] places =
        [
            (bench.X.Middle, bench.Y.Middle), (bench.X.Lowest, bench.Y.Middle), (bench.X.Highest, bench.Y.Middle),
            (bench.X.Middle, bench.Y.Lowest), (bench.X.Middle, bench.Y.Highest), (bench.X.Middle, bench.Y.Middle),
        ];
        long ticks = bench.Ticks(HoldSeconds);
        return new BringUpStep(BringUpPhase.NoBeam, "hold", "Hold at a code", places.SelectMany(place => BringUpBench.Hold(place.X, place.Y, ticks)))
        {
            Connect = "Nothing at the outputs but a voltmeter, first at X, then at Y.",
            Beam = BlankText.Off(bench.Machine.Blanker, "A voltmeter needs no beam."),
            Facts =
            [
                ("Each hold", BringUpText.Time(bench.Seconds(ticks))),
                ("One code", BringUpText.Volts(bench.StepVolts)),
                ("Word that the converter takes for the middle of X", BlankText.Word(bench.Machine.Dac, bench.X.Middle)),
            ],
            Table = new BringUpTable(
                "What a voltmeter shows",
                ["From", "#X code", "#Y code", "#X", "#Y"],
                [
                    .. places.Select((place, i) => ImmutableArray.Create(
                        BringUpText.Time(bench.Seconds(i * ticks)),
                        BringUpText.Number(place.X, 9),
                        BringUpText.Number(place.Y, 9),
                        BringUpText.Volts(bench.VoltsAt(place.X, place.Y).X),
                        BringUpText.Volts(bench.VoltsAt(place.X, place.Y).Y))),
                ]),
            LookAt = ["Each voltage of the table, within the error that your converters and amplifiers state.", "The other output, which stays.", "The blank line, which rests at its level for the beam off."],
            Faults =
            [
                ("The middle and the ends are exchanged, or the middle gives an end", "the coding (offset binary or two’s complement) of machine file and converter differ: compare the word above"),
                ("Ends at half or double the voltage", "the range of the converter or the gain of the amplifier is not the one of the machine file"),
                ("X moves when Y should", "the outputs, or chip selects, are exchanged"),
                ("Nothing moves", "no reference voltage, no clock or no load pulse at the converters, or the stream was refused: read what 'patternc send' says"),
            ],
            Stop = ["An output goes beyond the ends of the table: the microscope’s scan input may not bear it.", "The blank line moves."],
            Views = [new("", "All holds, one after another.", 0, places.Length * ticks)],
        };
    }

    /// <summary>Each output from its lowest to its highest code in even steps.</summary>
    public static BringUpStep Ramp(BringUpBench bench)
    {
        int stride = Math.Max(Stride(bench.X), Stride(bench.Y));
        (int stepsX, int stepsY) = (bench.X.Steps / stride, bench.Y.Steps / stride);
        long ticks = bench.Ticks(RampSeconds / Math.Max(stepsX, stepsY));
        double slope = stride * bench.StepVolts / bench.Seconds(ticks);
        double tau = bench.Machine.Settle.TimeConstantSeconds;
        long sweep = (stepsX + 1) * ticks;
        return new BringUpStep(BringUpPhase.NoBeam, "ramp", "Ramp", Records(bench, stride, ticks))
        {
            Connect = "A scope: channel 1 at X, channel 2 at Y. Trigger on the falling edge of X at 0 V.",
            Beam = BlankText.Off(bench.Machine.Blanker, "Ramps are made of jumps."),
            Facts =
            [
                ("X from", bench.VoltsX(bench.X.Lowest)),
                ("X to", bench.VoltsX(bench.X.Lowest + stepsX * stride)),
                ("Y from", bench.VoltsY(bench.Y.Lowest)),
                ("Y to", bench.VoltsY(bench.Y.Lowest + stepsY * stride)),
                ("Steps of", $"{BringUpText.Number(stride, 9)} codes, {BringUpText.Volts(stride * bench.StepVolts)}, each {BringUpText.Time(bench.Seconds(ticks))}"),
                ("Slope", BringUpText.Slope(slope)),
                ("One ramp of X", BringUpText.Time(bench.Seconds(sweep))),
                .. tau > 0 ? [("Lag of what settles within the machine file’s time constant", BringUpText.Volts(slope * tau))] : ImmutableArray<(string, string)>.Empty,
            ],
            LookAt = [$"{Sweeps} straight ramps of X while Y stands in its middle, then {Sweeps} of Y while X does.", "Even steps, no step back, and a flat line at the other output."],
            Faults =
            [
                ("A ramp that folds back or repeats 2, 4, 8 times", "an upper bit is missing or stuck, or bits are exchanged"),
                ("Two halves in the wrong order", "the coding is wrong: the top bit is inverted"),
                ("Flat ends", "the amplifier clips: state 'usable_x' and 'usable_y' in the machine file"),
                ("Long steps between short ones", "the link is slower than the machine file says, or the receiver waits after each block"),
                ("The other output ripples", "crosstalk, or a common ground that carries the current of both"),
            ],
            Stop = ["An output leaves its range, or an amplifier becomes hot."],
            Views =
            [
                new("", "The first ramps of X.", 0, 2 * sweep),
                new("close", "The first steps.", 0, 12 * ticks),
            ],
        };
    }

    private static int Stride(CodeSpan span) => (span.Steps + MostSteps - 1) / MostSteps;

    private static IEnumerable<DeflectionRecord> Records(BringUpBench bench, int stride, long ticks)
    {
        for (int i = 0; i < 2 * Sweeps; i++)
        {
            CodeSpan span = i < Sweeps ? bench.X : bench.Y;
            for (int code = span.Lowest; code <= span.Highest; code += stride)
            {
                yield return i < Sweeps ? DeflectionRecord.Jump(code, bench.Y.Middle, ticks) : DeflectionRecord.Jump(bench.X.Middle, code, ticks);
            }
        }

        yield return DeflectionRecord.Jump(bench.X.Middle, bench.Y.Middle, ticks);
    }
}
