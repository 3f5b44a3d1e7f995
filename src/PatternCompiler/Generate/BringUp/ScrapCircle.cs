using System.Collections.Immutable;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Generate.BringUp;

/// <summary>Circles on a scrap of coated substrate: one with the beam off, which must not print, and three quarters of one with the beam on.</summary>
internal static class ScrapCircle
{
    private const double BlankedSeconds = 10;
    private const int MostBlankedRecords = 50_000;
    private const int MostPoints = 40_000;
    private const double SettleSeconds = 0.01;
    private const double TimeConstants = 20;

    /// <summary>With the beam off.</summary>
    public static BringUpStep Blanked(BringUpBench bench)
    {
        double radius = RadiusNanometres(bench);
        int points = PointsOf(bench, radius, MostBlankedRecords / 4);
        long ticks = bench.Ticks(BlankedSeconds / MostBlankedRecords);
        int turns = Math.Max(1, MostBlankedRecords / points);
        double coulombsPerMetre = bench.Machine.Beam.CurrentAmperes * bench.Seconds(points * ticks) * turns / (2 * Math.PI * radius * 1e-9);
        return new BringUpStep(BringUpPhase.BeamOnScrap, "scrap-blanked-circle", "A circle that must not print", Repeat(Enumerable.Range(0, points).Select(i => Place(bench, radius, i, points)), ticks, turns))
        {
            Connect = "A scrap of coated substrate in focus, the microscope’s own scan given over to the controller.",
            Beam = BlankText.Off(bench.Machine.Blanker, "The beam behind the blanker is on: what prints is what leaks."),
            Facts =
            [
                ("Diameter on the sample", BringUpText.Length(2 * radius)),
                ("Turns", $"{BringUpText.Number(turns, 9)}, {BringUpText.Time(bench.Seconds(points * ticks) * turns)} in all"),
                ("Leak that would leave " + BringUpText.LineDose(bench.LineCoulombsPerMetre), BringUpText.Percent(bench.LineCoulombsPerMetre / coulombsPerMetre)),
            ],
            LookAt = ["Develop the scrap, or look for the contamination that a beam leaves: nothing may be there.", "Move the stage by more than a field before the next step, so that the two do not overlap."],
            Faults =
            [
                ("A circle", "the blanker leaks at least the part above, or is not connected"),
                ("A spot in the middle", "the beam was on before or after the stream: the line’s level at rest is wrong"),
            ],
            Stop = ["Anything prints."],
            Views = [new("", "The first turn.", 0, points * ticks)],
        };
    }

    /// <summary>With the beam on: from the sample’s x axis counterclockwise over three quarters.</summary>
    public static BringUpStep Written(BringUpBench bench)
    {
        Machine machine = bench.Machine;
        double radius = RadiusNanometres(bench);
        int points = PointsOf(bench, radius, MostPoints);
        double spacing = 2 * Math.PI * radius / points;
        (int X, int Y)[] way = [.. Way(bench, radius, points)];
        int written = way.Length;
        double wanted = bench.LineCoulombsPerMetre * spacing * 1e-9 / machine.Beam.CurrentAmperes;
        int passes = (int)Math.Clamp(Math.Ceiling(wanted * machine.Clock.Hertz / machine.Clock.MaximumDwellTicks), 1, Math.Max(1, MostPoints * 5 / written));
        long dwell = Math.Min(machine.Clock.MaximumDwellTicks, bench.Ticks(wanted / passes));
        double dose = bench.Seconds(dwell) * passes * machine.Beam.CurrentAmperes / (spacing * 1e-9);
        long settle = Math.Max(bench.Ticks(SettleSeconds), (long)Math.Ceiling(TimeConstants * machine.Settle.TimeConstantSeconds * machine.Clock.Hertz) + SlewTicks(bench));
        IEnumerable<DeflectionRecord> records = Enumerable.Range(0, passes).SelectMany(_ => Pass(way, settle, dwell));
        return new BringUpStep(BringUpPhase.BeamOnScrap, "scrap-circle", "Three quarters of a circle on scrap", records)
        {
            Connect = machine.Blanker.IsPresent
                ? "The same scrap, at a fresh place in focus."
                : "A scrap of coated substrate in focus, the microscope’s own scan given over to the controller. Without a blanker the beam exposes wherever it waits: before the stream, on the way to its start, and after it.",
            Beam = BlankText.Moves(machine.Blanker, "It is on along spoke and arc alone."),
            Facts =
            [
                ("Diameter on the sample, without calibration", BringUpText.Length(2 * radius)),
                ("Points", $"{BringUpText.Number(written, 9)}, each {BringUpText.Time(bench.Seconds(dwell))}, {BringUpText.Length(spacing)} apart"),
                ("Passes", BringUpText.Number(passes, 9)),
                ("Dose of the line at the current of the machine file", BringUpText.LineDose(dose)),
                ("Whole stream", BringUpText.Time(passes * bench.Seconds(settle + written * dwell))),
            ],
            LookAt =
            [
                "Three quarters of a circle, and a spoke from half of its radius to its right end. Seen as a drawing shows the sample, the open quarter lies at the lower right.",
                "Its diameter along x and y, measured with the microscope: the ratio to the one above corrects 'deflection.field', or 'generate field' and 'fit field' do it for the whole field.",
                "Its ends: clean, where the beam turns on and off, and no tail beyond them.",
                "After the stream: the microscope scans by itself again.",
            ],
            Faults =
            [
                ("The open quarter at the upper right, the spoke at the right", "y is inverted: change 'deflection.invert_y'; the microscope may also show its picture so"),
                ("The open quarter at the lower left, the spoke at the left", "x is inverted: change 'deflection.invert_x'"),
                ("The open quarter at the upper left, the spoke at the left", "both are inverted: change both"),
                ("The spoke at the top or at the bottom", "the axes are exchanged: change 'deflection.swap_axes', then look again"),
                ("A straight line or a spot", "one output, or both, do not reach the scan"),
                ("The microscope’s raster over everything", "its own scan still runs: scan-enable"),
                ("A line that leads to the spoke", "the beam is not off during jumps"),
                ("A wavy arc", "hum or vibration: 50 or 60 waves a second of writing are the mains"),
            ],
            Stop = ["The beam current on the sample, or the pressure in the chamber, is not what it usually is.", "The pattern appears at another place than the stage says."],
            Views =
            [
                new("", "The whole first pass.", 0, settle + written * dwell),
                new("start", "The beam turns on.", Math.Max(0, settle - 20 * dwell), Math.Min(settle, 20 * dwell) + 20 * dwell),
            ],
        };
    }

    private static double RadiusNanometres(BringUpBench bench) =>
        Math.Min(bench.X.Steps * Math.Abs(bench.NanometresPerCode.X), bench.Y.Steps * Math.Abs(bench.NanometresPerCode.Y)) / 4;

    /// <summary>As many points, a multiple of 4, that they are half a spot apart, where codes and the length of a stream allow it.</summary>
    private static int PointsOf(BringUpBench bench, double radius, int most)
    {
        double apart = Math.Max(bench.Machine.Beam.SpotNanometres / 2, Math.Max(Math.Abs(bench.NanometresPerCode.X), Math.Abs(bench.NanometresPerCode.Y)));
        return (int)Math.Clamp(Math.Ceiling(2 * Math.PI * radius / apart / 4), 4, most / 4) * 4;
    }

    private static long SlewTicks(BringUpBench bench)
    {
        SettleModel settle = bench.Machine.Settle;
        return settle.SlewNanometresPerSecond == 0 ? 0 : (long)Math.Ceiling(4 * RadiusNanometres(bench) / settle.SlewNanometresPerSecond * bench.Machine.Clock.Hertz);
    }

    /// <summary>From half of the radius outwards along the sample's x axis, then three quarters of a turn: no mirror image and no turned one is like it.</summary>
    private static IEnumerable<(int X, int Y)> Way(BringUpBench bench, double radius, int points)
    {
        int spoke = (int)(points / (4 * Math.PI));
        return Enumerable.Range(0, spoke).Select(i => Place(bench, radius * (1 + (double)i / spoke) / 2, 0, points))
            .Concat(Enumerable.Range(0, points / 4 * 3 + 1).Select(i => Place(bench, radius, i, points)));
    }

    private static IEnumerable<DeflectionRecord> Pass((int X, int Y)[] way, long settle, long dwell) =>
        BringUpBench.Hold(way[0].X, way[0].Y, settle).Concat(way.Select(place => DeflectionRecord.Dot(place.X, place.Y, dwell)));

    private static IEnumerable<DeflectionRecord> Repeat(IEnumerable<(int X, int Y)> places, long ticks, int turns)
    {
        (int X, int Y)[] known = [.. places];
        return Enumerable.Range(0, turns).SelectMany(_ => known.Select(place => DeflectionRecord.Jump(place.X, place.Y, ticks)));
    }

    // Codes of a place on a circle of the sample, as the ideal field has it.
    private static (int X, int Y) Place(BringUpBench bench, double radius, int point, int points)
    {
        (double sine, double cosine) = Math.SinCos(2 * Math.PI * point / points);
        (double alongX, double alongY) = bench.Machine.Deflection.SwapAxes ? (sine, cosine) : (cosine, sine);
        return (bench.X.Middle + Rounded(radius * alongX / bench.NanometresPerCode.X), bench.Y.Middle + Rounded(radius * alongY / bench.NanometresPerCode.Y));
    }

    private static int Rounded(double codes) => (int)Math.Round(codes, MidpointRounding.AwayFromZero);
}
