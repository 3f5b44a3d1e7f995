using System.Globalization;
using System.Text.Json;
using PatternCompiler.Oracles.Lab;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;
using Xunit.Abstractions;

namespace PatternCompiler.EndToEnd.Days;

/// <summary>
/// A writer without a blanker: the beam parks, and is led where it does no harm. With straight jumps the stray lines that are predicted are those that
/// the lab prints, as long and with such a dose; with jumps led around the lab prints none. Every coulomb of the day is accounted for.
/// </summary>
public sealed class NoBlankerTests(ITestOutputHelper console)
{
    private const int UsualSeeds = 1;
    private const double Picoamperes = 1000;
    private const double Often = 4;
    private const double Onset = 110;
    private const double ParkNanometres = -24_000;

    // Stretches of the beam's way that are looked at in one piece.
    private const int PlacesAtOnce = 60;

    // A way that gets less stays far below the onset, even where the pattern has left most of it.
    private const double LeastFemtocoulombsPerNanometre = 0.02;

    private static readonly string Example = Path.Combine(Repository.Root, "examples", "no-blanker");

    [Fact]
    public void Predicted_stray_lines_are_those_that_print() => LabLoop.Run(console, UsualSeeds, Day);

    private static (string Found, bool IsRight) Day(long seed)
    {
        LabTruth drawn = LabTruth.Draw(seed, new LabSetup { FieldNanometres = 50_000, InvertY = false, CurrentPicoamperes = Picoamperes, Faults = LabFaults.None });
        var dice = new Dice(seed, "amplifier");
        LabTruth truth = drawn with
        {
            Column = drawn.Column with { CurrentPicoamperes = Picoamperes, SpotNanometres = 20 },
            Field = drawn.Field with { TimeConstantSeconds = dice.Between(9e-6, 11e-6) },
            Resist = drawn.Resist with { OnsetMicrocoulombs = Onset, ClearingMicrocoulombs = 140, LateralNanometres = 0, Spread = [new SpreadPart(59, 1), new SpreadPart(4000, 0.74)] },
        };
        using WorkFolder folder = Folder();

        // Straight jumps of four times the current: refused strictly; written all the same, they print what was said.
        folder.With("machine.yaml", MachineFile(truth.Field.TimeConstantSeconds, Often * Picoamperes));
        folder.Run("build", "job.yaml", "--travel", "straight").Expect(3);
        Assert.DoesNotContain("out/sensor.stream", folder.Entries);
        folder.With("straight.yaml", File.ReadAllText(folder["job.yaml"]).Replace("strict: yes", "strict: no", StringComparison.Ordinal).Replace("travel: hidden", "travel: straight", StringComparison.Ordinal).Replace("out/sensor.stream", "straight.stream", StringComparison.Ordinal));
        folder.Run("build", "straight.yaml", "-q").Expect(0);
        Prediction predicted = Predicted(folder, "straight.stream", "straight.yaml", Often * Picoamperes);
        (Stray[] strays, double charge) = Printed(truth with { Column = truth.Column with { CurrentPicoamperes = Often * Picoamperes } }, folder, "straight.stream");
        double length = strays.Sum(stray => stray.Length), dose = strays.Select(stray => stray.Dose).DefaultIfEmpty().Max();
        int away = strays.Count(stray => !predicted.Jumps.Any(jump => jump.Distance(stray.X, stray.Y) < 100));
        int missed = predicted.Jumps.Count(jump => !strays.Any(stray => jump.Distance(stray.X, stray.Y) < 100));

        // With less current and led around: strictly built, and nothing prints; the beam ends where it is parked.
        folder.With("machine.yaml", MachineFile(truth.Field.TimeConstantSeconds, Picoamperes));
        folder.Run("build", "job.yaml", "-q").Expect(0);
        Prediction quiet = Predicted(folder, "out/sensor.stream", "job.yaml", Picoamperes);
        Assert.Equal(0, quiet.Printing);
        (Stray[] none, double hiddenCharge) = Printed(truth, folder, "out/sensor.stream");
        double left = none.Sum(stray => stray.Length);

        // The beam is never off: all of the time is charge, and what the figures ask for is part of it.
        double error = Math.Max(Math.Abs(charge / predicted.TotalFemtocoulombs - 1), Math.Abs(hiddenCharge / quiet.TotalFemtocoulombs - 1));
        double wanted = Math.Abs(quiet.ExposedFemtocoulombs / (280 * 1e-5 * Area) - 1);
        string found = string.Create(
            CultureInfo.InvariantCulture,
            $"time constant {truth.Field.TimeConstantSeconds * 1e6:0.0} us: {predicted.Printing} jumps print {predicted.Length:0} nm with up to {predicted.Dose:0} uC/cm2; in the lab {length:0} nm with up to {dose:0} uC/cm2, {away} places elsewhere, {missed} jumps without; led around {left:0} nm; charge off by {100 * error:0.000} %, figures' by {100 * wanted:0.000} %");
        return (found, predicted.Printing > 1 && away == 0 && missed == 0 && Math.Abs(length / predicted.Length - 1) < 0.2 && Math.Abs(dose / predicted.Dose - 1) < 0.1 && left == 0 && error < 0.001 && wanted < 0.001);
    }

    // Twelve fingers and two spines, overlaps counted once, and two pads.
    private const double Area = 2e6 * ((6 * 1.0 * 14) + (26.4 * 3) + (12 * 6));

    private static WorkFolder Folder()
    {
        var folder = new WorkFolder();
        foreach (string file in (string[])["sensor.layout", "process.yaml", "job.yaml"])
        {
            folder.With(file, File.ReadAllText(Path.Combine(Example, file)));
        }

        return folder;
    }

    // The lab's amplifier has a time constant and no limit of speed; it is stated as it was measured.
    private static string MachineFile(double constant, double picoamperes) => string.Create(
            CultureInfo.InvariantCulture,
            $"machine: bench\ndac: {{bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}}\ndeflection: {{field: 50 um}}\nsettle: {{fixed: {6e6 * constant:0} us, time_constant: {1e6 * constant:0.###} us}}\nclock: {{rate: 10 MHz, shortest_dwell: 5 ticks, longest_dwell: 65535 ticks}}\nblanker: none\npark: [{ParkNanometres / 1000} um, {ParkNanometres / 1000} um]\nbeam: {{current: {picoamperes} pA, spot: 20 nm, energy: 30 keV}}\nlink: {{rate: 8 MB/s, buffer: 64 KiB}}\n");

    private static Prediction Predicted(WorkFolder folder, string stream, string job, double picoamperes)
    {
        using JsonDocument json = JsonDocument.Parse(folder.Run("estimate", stream, "--job", job, "--json", "-q").Expect(0).Output);
        JsonElement strays = json.RootElement.GetProperty("strays");
        Jump[] jumps = [.. strays.GetProperty("worst").EnumerateArray().Select(jump => new Jump(
            jump.GetProperty("fromXNanometres").GetDouble(), jump.GetProperty("fromYNanometres").GetDouble(), jump.GetProperty("toXNanometres").GetDouble(), jump.GetProperty("toYNanometres").GetDouble()))];
        int printing = strays.GetProperty("printingJumps").GetInt32();
        Assert.Equal(printing, jumps.Length);
        return new Prediction(
            printing, strays.GetProperty("printedNanometres").GetDouble(), strays.GetProperty("largestDoseCoulombsPerSquareMetre").GetDouble() * 100,
            picoamperes * 1e3 * json.RootElement.GetProperty("time").GetProperty("totalSeconds").GetDouble(), json.RootElement.GetProperty("chargeCoulombs").GetDouble() * 1e15, jumps);
    }

    /// <summary>
    /// Writes a stream in the lab; where, outside of what is drawn, the beam's way reacts and would not if the beam got everywhere at once, and all charge in
    /// femtocoulombs.
    /// </summary>
    private static (Stray[] Strays, double Femtocoulombs) Printed(LabTruth truth, WorkFolder folder, string stream)
    {
        DecodedExposure decoded = DecodedExposure.Read(folder[stream]);
        Sample sample = new Laboratory(truth).Write(decoded);
        Sample pattern = new Laboratory(truth with { Field = truth.Field with { TimeConstantSeconds = 0 } }).Write(decoded);
        Deposit[] all = [.. sample.Deposits.All()];
        Assert.InRange(Math.Abs(all[^1].X - ParkNanometres) + Math.Abs(all[^1].Y - ParkNanometres), 0, 400);
        var found = new List<Stray>();
        for (int i = 1; i < all.Length; i++)
        {
            int first = i;
            while (i < all.Length && i - first < PlacesAtOnce && IsOutside(all[i].X, all[i].Y) && Math.Abs(all[i].X - all[first].X) + Math.Abs(all[i].Y - all[first].Y) < 600)
            {
                i++;
            }

            if (i - first < 2)
            {
                continue;
            }

            ReadOnlySpan<Deposit> way = all.AsSpan(first, i - first);
            SampleWindow window = new(Least(way, place => place.X) - 10, Least(way, place => place.Y) - 10, -Least(way, place => -place.X) + 10, -Least(way, place => -place.Y) + 10);
            if (IsParked(window) || way[^1].Femtocoulombs + way[0].Femtocoulombs < LeastFemtocoulombsPerNanometre * LongestStep(way))
            {
                continue;
            }

            DevelopedFilm film = sample.Develop(window), figures = pattern.Develop(window);
            for (int at = 1; at < way.Length; at++)
            {
                double energy = film.EnergyAt(way[at].X, way[at].Y);
                if (energy >= Onset && figures.EnergyAt(way[at].X, way[at].Y) < Onset)
                {
                    found.Add(new Stray(way[at].X, way[at].Y, Math.Sqrt(Math.Pow(way[at].X - way[at - 1].X, 2) + Math.Pow(way[at].Y - way[at - 1].Y, 2)), energy));
                }
            }
        }

        return ([.. found], sample.Deposits.TotalFemtocoulombs);
    }

    private static double LongestStep(ReadOnlySpan<Deposit> way) =>
        Math.Max(Math.Abs(way[1].X - way[0].X) + Math.Abs(way[1].Y - way[0].Y), Math.Abs(way[^1].X - way[^2].X) + Math.Abs(way[^1].Y - way[^2].Y));

    private static double Least(ReadOnlySpan<Deposit> way, Func<Deposit, double> side)
    {
        double least = double.PositiveInfinity;
        foreach (Deposit place in way)
        {
            least = Math.Min(least, side(place));
        }

        return least;
    }

    // There the resist is given up.
    private static bool IsParked(SampleWindow window) => window.Right < ParkNanometres + 4000 && window.Top < ParkNanometres + 4000;

    // The drawing: fingers, spines and pads; the second comb is the first, turned by half a turn.
    private static bool IsOutside(double x, double y) => !IsIn(x, y) && !IsIn(-x, -y);

    private static bool IsIn(double x, double y)
    {
        (double combX, double combY) = (x + 12_700, y + 7750);
        double finger = combX - Math.Floor(combX / 4400) * 4400;
        bool isFinger = combX > 0 && combX < 5 * 4400 + 1000 && (finger < 1000 || finger > 4400) && combY > 0 && combY < 14_000;
        bool isSpine = combX > -1000 && combX < 25_400 && combY > -3000 && combY < 0;
        bool isPad = Math.Abs(x) < 6000 && Math.Abs(y + 13_750) < 3000;
        return isFinger || isSpine || isPad;
    }

    private sealed record Stray(double X, double Y, double Length, double Dose);

    private sealed record Prediction(int Printing, double Length, double Dose, double TotalFemtocoulombs, double ExposedFemtocoulombs, Jump[] Jumps);

    private sealed record Jump(double FromX, double FromY, double ToX, double ToY)
    {
        /// <summary>From a place to the way.</summary>
        public double Distance(double x, double y)
        {
            (double dx, double dy) = (ToX - FromX, ToY - FromY);
            double along = Math.Clamp(((x - FromX) * dx + (y - FromY) * dy) / (dx * dx + dy * dy), 0, 1);
            return Math.Sqrt(Math.Pow(x - FromX - along * dx, 2) + Math.Pow(y - FromY - along * dy, 2));
        }
    }
}
