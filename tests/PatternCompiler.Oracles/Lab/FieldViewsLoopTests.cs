using System.Globalization;
using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Field;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Diagnostics;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;
using Xunit.Abstractions;

namespace PatternCompiler.Oracles.Lab;

/// <summary>
/// A bent field that has nothing but itself to be looked at with: a grid is written, the same deflection sees it four times, turned by a
/// quarter and moved in between, and what was fitted goes into the machine file. The next grid must lie where it is drawn.
/// </summary>
public sealed class FieldViewsLoopTests(ITestOutputHelper console)
{
    private const int UsualSeeds = 10;
    private const double NoiseNanometres = 4;
    private const double LargestPartOfNoise = 2;
    private const double Pitch = 14_000;
    private const int Side = 7;
    private const double Seen = 49_900;

    [Fact]
    public void What_the_field_itself_sees_makes_it_straight() => LabLoop.Run(console, UsualSeeds, Loop);

    private static (string Found, bool IsRight) Loop(long seed)
    {
        LabTruth truth = LabTruth.Draw(seed, new LabSetup { Faults = LabFaults.Field | LabFaults.Distortion | LabFaults.Crosstalk, CurrentPicoamperes = 100 });
        using var folder = new TemporaryFolder();
        folder.Write("grid.layout", "layout 1\nunit um\nlayer marks\n" + string.Concat(Drawn().Select(mark => FormattableString.Invariant($"rect on marks centre ({mark.X / 1000}, {mark.Y / 1000}) size (0.1, 0.1)\n"))));
        folder.Write("process.yaml", "process: p\ndose: {area: 200 uC/cm2, line: 1 nC/cm, dot: 10 fC}\nresist: {onset: 50 uC/cm2, clearing: 100 uC/cm2}\n");
        (double X, double Y)[] marks = Written(folder, truth, "");
        (string text, double known) = Views(marks, truth.Field, new Dice(seed, "views"));
        MeasurementTable table = MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "views", FieldViews.WordColumns);
        var length = new KnownLength(-3 * Pitch, 0, 3 * Pitch, 0, known);
        var messages = new DiagnosticSink();
        (IReadOnlyList<FieldFit> fits, FieldFit fit) = SelfCalibration.FitAll(FieldViews.Of(table, 50_000), 50_000, length, messages);
        SelfCalibration.WarnOfError(fit, messages);

        // What is printed goes into the machine file as it is.
        string fragment = FitText.Of(fits, fit);
        double before = Misplaced(marks), after = Misplaced(Written(folder, truth, fragment[fragment.IndexOf("  calibration:", StringComparison.Ordinal)..]));
        string found = FormattableString.Invariant($"order {fit.Polynomial.Order}, off by {before:0} nm before and {after:0.00} nm after, fit says {Math.Sqrt(2) * fit.Poses!.ErrorNanometres:0.00} nm with a noise of {fit.Poses.NoiseNanometres:0.00} nm along an axis")
            + string.Concat(messages.Collected.Select(message => $"; {message.Message}"));
        return (found, after < LargestPartOfNoise * NoiseNanometres && messages.Collected.Count == 0);
    }

    private static IEnumerable<(double X, double Y)> Drawn() =>
        from row in Enumerable.Range(-Side / 2, Side) from column in Enumerable.Range(-Side / 2, Side) select (column * Pitch, row * Pitch);

    /// <summary>Where the marks of the grid really lie.</summary>
    private static (double X, double Y)[] Written(TemporaryFolder folder, LabTruth truth, string calibration)
    {
        folder.Write("machine.yaml", "machine: m\ndac: {bits: 18, lowest: -10 V, highest: 10 V, coding: offset binary}\ndeflection:\n  field: 100 um\n  invert_y: yes\n" + calibration + "settle: {fixed: 15 us}\n"
            + "clock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}\nblanker: {active: high}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 8 MB/s, buffer: 64 KiB}\n");
        folder.Write("job.yaml", "job: grid\nmachine: machine.yaml\nprocess: process.yaml\nsources: [grid.layout]\nfill: {line_pitch: 20 nm, point_step: 20 nm}\n");
        Deposit[] deposits = [.. new Laboratory(truth).Write(DecodedExposure.Read(CompiledExposure.Of(folder["job.yaml"]))).Deposits.All()];
        return [.. Drawn().Select(drawn =>
        {
            Deposit[] near = [.. deposits.Where(deposit => Math.Abs(deposit.X - drawn.X) < Pitch / 2 && Math.Abs(deposit.Y - drawn.Y) < Pitch / 2)];
            double charge = near.Sum(deposit => (double)deposit.Femtocoulombs);
            return (near.Sum(deposit => (double)deposit.X * deposit.Femtocoulombs) / charge, near.Sum(deposit => (double)deposit.Y * deposit.Femtocoulombs) / charge);
        })];
    }

    /// <summary>The table of four views, and a distance that a rule has told.</summary>
    private static (string Table, double Known) Views((double X, double Y)[] marks, FieldTruth field, Dice dice)
    {
        var text = new StringBuilder();
        foreach ((string name, double turn, double x, double y) in ((string, double, double, double)[])[("straight", 0, 0, 0), ("turned", 90, 0, 0), ("right", 0, Pitch, 0), ("up", 0, 0, Pitch)])
        {
            text.Append("view, drawn x [um], drawn y [um], seen x [um], seen y [um]\n");
            (double sine, double cosine) = Math.SinCos((turn + dice.Normal(0, 0.5)) * Math.PI / 180);
            (double shiftX, double shiftY) = (x + dice.Normal(0, 300), y + dice.Normal(0, 300));
            foreach (((double drawnX, double drawnY), (double markX, double markY)) in Drawn().Zip(marks))
            {
                (double seenX, double seenY) = SeenAt(field, cosine * markX - sine * markY + shiftX, sine * markX + cosine * markY + shiftY);
                if (Math.Max(Math.Abs(seenX), Math.Abs(seenY)) < Seen)
                {
                    text.Append(CultureInfo.InvariantCulture, $"{name}, {drawnX / 1000}, {drawnY / 1000}, {(seenX + dice.Normal(0, NoiseNanometres)) / 1000:0.#####}, {(seenY + dice.Normal(0, NoiseNanometres)) / 1000:0.#####}\n");
                }
            }
        }

        (double X, double Y) left = marks[Side * (Side / 2)], right = marks[Side * (Side / 2) + Side - 1];
        return (text.ToString(), Math.Sqrt((right.X - left.X) * (right.X - left.X) + (right.Y - left.Y) * (right.Y - left.Y)) + dice.Normal(0, NoiseNanometres));
    }

    /// <summary>The commanded place from which the beam lands on a mark.</summary>
    private static (double X, double Y) SeenAt(FieldTruth field, double wantedX, double wantedY)
    {
        const double VoltsPerNanometre = 20 / 100_000.0;
        (double x, double y) = (wantedX, wantedY);
        for (int i = 0; i < 100; i++)
        {
            (double landedX, double landedY) = field.PlaceOf(x * VoltsPerNanometre, -y * VoltsPerNanometre);
            (x, y) = (x + wantedX - landedX, y + wantedY - landedY);
        }

        return (x, y);
    }

    /// <summary>Root mean square distance of the marks from where they are drawn, after the shift and the turn that lay them there best.</summary>
    private static double Misplaced((double X, double Y)[] marks)
    {
        (double X, double Y)[] drawn = [.. Drawn()];
        (double middleX, double middleY) = (marks.Average(mark => mark.X), marks.Average(mark => mark.Y));
        double along = 0, across = 0;
        for (int i = 0; i < marks.Length; i++)
        {
            (double x, double y) = (marks[i].X - middleX, marks[i].Y - middleY);
            along += drawn[i].X * x + drawn[i].Y * y;
            across += drawn[i].X * y - drawn[i].Y * x;
        }

        (double sine, double cosine) = Math.SinCos(Math.Atan2(across, along));
        return Math.Sqrt(marks.Zip(drawn).Average(pair =>
        {
            (double x, double y) = (pair.First.X - middleX - (cosine * pair.Second.X - sine * pair.Second.Y), pair.First.Y - middleY - (sine * pair.Second.X + cosine * pair.Second.Y));
            return x * x + y * y;
        }));
    }
}
