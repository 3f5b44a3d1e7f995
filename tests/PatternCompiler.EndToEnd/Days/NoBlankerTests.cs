using System.Buffers.Binary;
using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using PatternCompiler.Oracles.Lab;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;
using Xunit.Abstractions;

namespace PatternCompiler.EndToEnd.Days;

/// <summary>
/// A writer without a blanker, whose amplifier is slow (the example's): written with straight jumps, stray lines print where they were predicted, as
/// large and with such doses; with jumps led around nothing prints beside the pattern. The beam waits where it is parked, and every coulomb of the
/// day is accounted for.
/// </summary>
public sealed partial class NoBlankerTests(ITestOutputHelper console)
{
    private const int UsualSeeds = 1;
    private const double Picoamperes = 1000;
    private const double Onset = 110;
    private const double ParkNanometres = -24_000;
    private const double HalfWidth = 14_000;
    private const double HalfHeight = 18_000;

    // So far beside the pattern everything that prints is a stray line.
    private const double BesideNanometres = 150;

    [Fact]
    public void Predicted_stray_lines_are_those_that_print() => LabLoop.Run(console, UsualSeeds, Day);

    private static (string Found, bool IsRight) Day(long seed)
    {
        LabTruth truth = Truth(seed);
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples/no-blanker", ".");
        folder.With("machine.yaml", Stated(File.ReadAllText(folder["machine.yaml"]), truth.Field));

        // Straight jumps: refused; written all the same, they print what was said.
        folder.Run("build", "job.yaml", "--travel", "straight").Expect(3);
        Assert.DoesNotContain("out/sensor.stream", folder.Entries);
        string job = File.ReadAllText(folder["job.yaml"]);
        folder.With("straight.yaml", job.Replace("strict: yes", "strict: no", StringComparison.Ordinal).Replace("travel: hidden", "travel: straight", StringComparison.Ordinal));
        (Energies predicted, Energies printed, double charge) = Written(folder, "straight.yaml", truth);
        int both = 0, either = 0;
        double worst = 0;
        for (int i = 0; i < predicted.Beside.Length; i++)
        {
            (bool isPredicted, bool isPrinted) = (predicted.Beside[i] >= Onset, printed.Beside[i] >= Onset);
            both += isPredicted && isPrinted ? 1 : 0;
            either += isPredicted || isPrinted ? 1 : 0;
            worst = Math.Max(worst, Math.Abs(predicted.Beside[i] - printed.Beside[i]));
        }

        (double predictedMost, double printedMost) = (predicted.Beside.Max(), printed.Beside.Max());

        // Led around: nothing beside the pattern reacts.
        (Energies quiet, Energies none, double hiddenCharge) = Written(folder, "job.yaml", truth);
        string found = string.Create(
            CultureInfo.InvariantCulture,
            $"{1e6 * truth.Field.TimeConstantSeconds:0.00} us, {1e-3 * truth.Field.SlewNanometresPerSecond / 1e3:0.0} nm/us: of {either} places where strays were predicted or print {both} are the same; energies off by {worst:0.0} uC/cm2 at most; largest {predictedMost:0.0} predicted, {printedMost:0.0} printed; led around {quiet.Beside.Max():0.0} and {none.Beside.Max():0.0}; charge off by {100 * Math.Max(charge, hiddenCharge):0.0000} %");
        return (found, either > 200 && both >= 0.9 * either && worst <= 0.02 * Onset && quiet.Beside.Max() < Onset && none.Beside.Max() < Onset && Math.Max(charge, hiddenCharge) < 1e-4);
    }

    /// <summary>A bench without faults but its amplifier, whose time constant and limit of speed differ from seed to seed.</summary>
    private static LabTruth Truth(long seed)
    {
        LabTruth drawn = LabTruth.Draw(seed, new LabSetup { FieldNanometres = 50_000, InvertY = false, CurrentPicoamperes = Picoamperes, Faults = LabFaults.None });
        var dice = new Dice(seed, "amplifier");
        return drawn with
        {
            Column = drawn.Column with { CurrentPicoamperes = Picoamperes, SpotNanometres = 20 },
            Field = drawn.Field with { TimeConstantSeconds = dice.Between(3e-6, 5e-6), SlewNanometresPerSecond = dice.Between(9.5e6, 11e6) },
            Resist = drawn.Resist with { OnsetMicrocoulombs = Onset, ClearingMicrocoulombs = 140, LateralNanometres = 0, Spread = [new SpreadPart(59, 1), new SpreadPart(4000, 0.74)] },
        };
    }

    /// <summary>The machine file, with the amplifier as it was measured.</summary>
    private static string Stated(string machine, FieldTruth field)
    {
        string constant = TimeConstant().Replace(machine, string.Create(CultureInfo.InvariantCulture, $"time_constant: {1e6 * field.TimeConstantSeconds:R} us"));
        return Slew().Replace(constant, string.Create(CultureInfo.InvariantCulture, $"slew: {field.SlewNanometresPerSecond / 1e6:R} nm/us"));
    }

    /// <summary>
    /// Builds a job and writes its stream in the lab: what was predicted beside the pattern, what is there, and by what part all charge differs from the
    /// current for the time that was estimated.
    /// </summary>
    private static (Energies Predicted, Energies Printed, double ChargeError) Written(WorkFolder folder, string job, LabTruth truth)
    {
        const string Stream = "out/sensor.stream";
        folder.Run("build", job, "--quiet").Expect(0);
        using JsonDocument simulated = JsonDocument.Parse(folder.Run("simulate", Stream, "--job", job, "--map", "energy.npy", "--map-step", "20 nm", "--json", "-q").Expect(0).Output);
        using JsonDocument estimate = JsonDocument.Parse(folder.Run("estimate", Stream, "--job", job, "--json", "-q").Expect(0).Output);
        DecodedExposure decoded = DecodedExposure.Read(folder[Stream]);
        Sample sample = new Laboratory(truth).Write(decoded);
        Deposit[] all = [.. sample.Deposits.All()];
        Assert.All([all[^1]], end => Assert.InRange(Math.Abs(end.X - ParkNanometres) + Math.Abs(end.Y - ParkNanometres), 0, 2));
        var cells = new Cells(simulated.RootElement.GetProperty("cells"), File.ReadAllBytes(folder["energy.npy"]));
        DevelopedFilm film = sample.Develop(new SampleWindow(-HalfWidth, -HalfHeight, HalfWidth, HalfHeight), 12);
        (double X, double Y)[] places = [.. cells.Centres(HalfWidth - 100, HalfHeight - 100).Where(place => IsBeside(place.X, place.Y))];
        double expected = Picoamperes * 1000 * estimate.RootElement.GetProperty("time").GetProperty("totalSeconds").GetDouble();
        return (
            new Energies(Array.ConvertAll(places, place => cells.At(place.X, place.Y))),
            new Energies(Array.ConvertAll(places, place => film.EnergyAt(place.X, place.Y))),
            Math.Abs((sample.Deposits.TotalFemtocoulombs / expected) - 1));
    }

    // The drawing: fingers, spines and pads; the second comb is the first, turned by half a turn.
    private static bool IsBeside(double x, double y) => !IsNear(x, y) && !IsNear(-x, -y);

    private static bool IsNear(double x, double y)
    {
        (double combX, double combY) = (x + 12_700, y + 7750);
        return Enumerable.Range(0, 6).Any(finger => IsWithin(combX, combY, 4400 * finger, 0, (4400 * finger) + 1000, 14_000))
            || IsWithin(combX, combY, -1000, -3000, 25_400, 0)
            || IsWithin(x, y, -6000, -16_750, 6000, -10_750);
    }

    private static bool IsWithin(double x, double y, double left, double bottom, double right, double top) =>
        x > left - BesideNanometres && x < right + BesideNanometres && y > bottom - BesideNanometres && y < top + BesideNanometres;

    [GeneratedRegex("time_constant: \\S+ us")]
    private static partial Regex TimeConstant();

    [GeneratedRegex("slew: \\S+ nm/us")]
    private static partial Regex Slew();

    /// <summary>Energies beside the pattern, as doses of a large area, in µC/cm².</summary>
    private sealed record Energies(double[] Beside);

    /// <summary>An array file: 32-bit numbers in C/m², row by row from the lowest.</summary>
    private sealed class Cells(JsonElement where, byte[] file)
    {
        private const double MicrocoulombsPerSquareCentimetre = 100;

        private readonly double left = where.GetProperty("leftNanometres").GetDouble();
        private readonly double bottom = where.GetProperty("bottomNanometres").GetDouble();
        private readonly double step = where.GetProperty("stepNanometres").GetDouble();
        private readonly int columns = where.GetProperty("columns").GetInt32();
        private readonly int rows = where.GetProperty("rows").GetInt32();

        /// <summary>Middles of the cells within some distance of the origin.</summary>
        public IEnumerable<(double X, double Y)> Centres(double halfWidth, double halfHeight) =>
            from row in Enumerable.Range(0, rows)
            from column in Enumerable.Range(0, columns)
            let place = (X: left + ((column + 0.5) * step), Y: bottom + ((row + 0.5) * step))
            where Math.Abs(place.X) < halfWidth && Math.Abs(place.Y) < halfHeight
            select place;

        public double At(double x, double y)
        {
            int cell = ((int)((y - bottom) / step) * columns) + (int)((x - left) / step);
            int start = file.Length - (sizeof(float) * rows * columns);
            return MicrocoulombsPerSquareCentimetre * BinaryPrimitives.ReadSingleLittleEndian(file.AsSpan(start + (sizeof(float) * cell)));
        }
    }
}
