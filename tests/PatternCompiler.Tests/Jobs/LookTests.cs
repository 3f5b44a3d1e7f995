using System.Globalization;
using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Looks;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Tests.Passes;

namespace PatternCompiler.Tests.Jobs;

/// <summary>Looks at marks of the layer below: what is refused, what the records do, and what comes of the samples.</summary>
public sealed class LookTests
{
    private const string Below = "layout 1\nunit um\nlayer electrodes\nlayer marks\nrect on electrodes at (-15, -10) size (30, 20)\n"
        + "rect on marks centre (-30, 0) size (3, 0.6)\nrect on marks centre (-30, 0) size (0.6, 3)\nrect on marks centre (30, 10) size (3, 0.6)\nrect on marks centre (30, 10) size (0.6, 3)\n";

    private const string Pads = "layout 1\nunit um\nlayer pads\nrect on pads at (-14, -9) size (28, 18)\n";

    // I·t/s² of 100 pA, 5 us and 60 nm is 0.1389 C/m².
    private const string Look = "below: [below.layout], marks: marks, at: {W: [-30 um, 0 um], E: [30 um, 10 um]}, window: 6 um, within: 1 um, step: 60 nm, dwell: 5 us";

    /// <summary>Of 24 bits a code is 6 pm.</summary>
    [Theory]
    [InlineData(16)]
    [InlineData(24)]
    public void Every_point_of_every_window_is_exposed_in_order_and_nothing_else(int bits)
    {
        var sink = new DiagnosticSink();
        BuildSettings settings = Settings(Look);
        settings = settings with { Machine = settings.Machine with { Dac = settings.Machine.Dac with { Bits = bits } } };
        LookPlan plan = LookPlan.Of(settings, Files(), sink, CancellationToken.None);
        var records = new CollectingSink<RecordsHeader, DeflectionRecord>();
        LookExposure.Write(plan, settings, records, sink);
        Assert.Equal(
            "2 windows of 100 x 100 points; 1 look brings 13.89 uC/cm2, 0.139 of the onset of the resist; the look's dose on the device is 0: no window, grown by 1 um, meets what either layer writes",
            Assert.Single(sink.Collected).Message);
        var mapping = new DacMapping(settings.Machine.Dac, settings.Machine.Deflection);
        int point = 0;
        double code = Math.Abs(mapping.NanometresPerCodeX);
        foreach (DeflectionRecord record in records.Items.Where(record => record.Points > 0))
        {
            for (int i = 0; i < record.Points; i++, point++)
            {
                LinePoint at = LinePoints.At(record, i);
                (double wantedX, double wantedY) = LookExposure.PlaceOf(plan.Look, plan.Look.Marks[point / 10_000], point % 10_000 / 100, point % 100);
                (double x, double y) = mapping.PlaceOf(at.X, at.Y);
                Assert.True(Math.Abs(x - wantedX) <= code && Math.Abs(y - wantedY) <= code, $"point {point}");
                Assert.Equal(50, at.Ticks);
            }
        }

        Assert.Equal(20_000, point);
    }

    [Theory]
    [InlineData("window: 6 um", "window: 30 um, step: 300 nm", "PC1802", "the window of mark 'W' meets what the layer below writes on layer 'electrodes', if the layer lies off by up to 1 um")]
    [InlineData("step: 60 nm", "step: 30 nm", "PC1803", "1 look brings 55.56 uC/cm2, 0.556 of the onset of the resist, and half of the onset is the most")]
    [InlineData("dwell: 5 us", "dwell: 5 us, looks: 4", "PC1803", "4 looks bring 55.56 uC/cm2, 0.556 of the onset of the resist, and half of the onset is the most")]
    [InlineData("W: [-30 um, 0 um]", "W: [-35 um, 0 um]", "PC1804", "around mark 'W' layer 'marks' has no cross that stays in the window of 6 um if it lies off by 1 um")]
    [InlineData("within: 1 um", "within: 2 um", "PC1804", "around mark 'W' layer 'marks' has no cross that stays in the window of 6 um if it lies off by 2 um")]
    public void What_would_expose_or_find_nothing_is_refused(string from, string to, string code, string message)
    {
        string look = to.Contains("step", StringComparison.Ordinal) && from.Contains("window", StringComparison.Ordinal) ? Look.Replace(", step: 60 nm", "", StringComparison.Ordinal) : Look;
        CompileException fault = Assert.Throws<CompileException>(() => LookPlan.Of(Settings(look.Replace(from, to, StringComparison.Ordinal)), Files(), new DiagnosticSink(), CancellationToken.None));
        Assert.Equal((code, message), (fault.Diagnostic.Code.Id, fault.Diagnostic.Message));
    }

    /// <summary>Half of the onset is 50 uC/cm2: of 13.89 with 5 us a point, so much longer with one look, so much shorter with four or four times as many points.</summary>
    /// <summary>1.98 us at 28 nm, rounded to the nearest, would be 1.99: a remedy is within the limit, and its last digit is as large as can be.</summary>
    [Theory]
    [InlineData("step: 55 nm, looks: 2", "7.56 us", "7.57 us")]
    [InlineData("step: 67 nm, looks: 3", "7.48 us", "7.49 us")]
    [InlineData("step: 110 nm, looks: 7", "8.64 us", "8.65 us")]
    public void A_remedy_that_is_followed_is_enough(string sampling, string dwell, string longer)
    {
        string Of(string time) => Look.Replace("step: 60 nm, dwell: 5 us", $"{sampling}, dwell: {time}", StringComparison.Ordinal);
        Diagnostic fault = Assert.Throws<CompileException>(() => LookPlan.Of(Settings(Of("50 us")), Files(), new DiagnosticSink(), CancellationToken.None)).Diagnostic;
        Assert.StartsWith($"dwell no longer than {dwell},", fault.Fix, StringComparison.Ordinal);
        LookPlan.Of(Settings(Of(dwell)), Files(), new DiagnosticSink(), CancellationToken.None);
        Assert.Equal("PC1803", Assert.Throws<CompileException>(() => LookPlan.Of(Settings(Of(longer)), Files(), new DiagnosticSink(), CancellationToken.None)).Diagnostic.Code.Id);
    }

    /// <summary>100 pA for 18 us over 60 nm by 60 nm are 50 uC/cm2: half of an onset of 100, which is permitted, and 0.4 of one of 125.</summary>
    [Theory]
    [InlineData(1.0, 0.5)]
    [InlineData(1.25, 0.4)]
    public void Half_of_the_onset_is_permitted(double onset, double part)
    {
        BuildSettings settings = Settings(Look.Replace("dwell: 5 us", "dwell: 18 us", StringComparison.Ordinal));
        settings = settings with { Process = settings.Process with { Response = settings.Process.Response with { OnsetCoulombsPerSquareMetre = onset } } };
        LookPlan plan = LookPlan.Of(settings, Files(), new DiagnosticSink(), CancellationToken.None);
        Assert.Equal((0.5, part), (Math.Round(plan.DoseCoulombsPerSquareMetre, 12), Math.Round(plan.DoseOfOnset, 12)));
    }

    [Fact]
    public void A_layer_of_marks_that_is_not_there_is_told() => Assert.StartsWith(
        "the job asks for layer 'crosses'",
        Assert.Throws<CompileException>(() => LookPlan.Of(Settings(Look.Replace("marks: marks", "marks: crosses", StringComparison.Ordinal)), Files(), new DiagnosticSink(), CancellationToken.None)).Diagnostic.Message,
        StringComparison.Ordinal);

    /// <summary>A mark of which there is no picture has no place; places are printed to the picometre, halves away from zero.</summary>
    [Fact]
    public void A_mark_without_a_picture_has_no_place()
    {
        LookPlan plan = LookPlan.Of(Settings(Look), Files(), new DiagnosticSink(), CancellationToken.None);
        plan = plan with { Look = plan.Look with { Marks = [new LookMark("a", 0.0005, -0.0025), new LookMark("b", -0.0001, 12_345.6785)] } };
        Assert.Equal(
            "mark, wanted x [um], wanted y [um], found x [um], found y [um], uncertainty x [nm], uncertainty y [nm]\na, 0.000001, -0.000003, , , ,\nb, 0, 12.345679, , , ,\n",
            MarkSearch.Table(plan, [null, null], Settings(Look).Job.Limits, new DiagnosticSink(), CancellationToken.None));
    }

    [Theory]
    [InlineData("step: 60 nm", "step: 30 nm", "dwell no longer than 4.5 us, or choose a larger 'step', a smaller beam current or fewer looks")]
    [InlineData("dwell: 5 us", "dwell: 20 us", "dwell no longer than 18 us, or choose a larger 'step', a smaller beam current or fewer looks")]
    [InlineData("dwell: 5 us", "dwell: 50 us, looks: 2", "dwell no longer than 9 us, or choose a larger 'step', a smaller beam current or fewer looks")]
    public void The_remedy_of_too_high_a_dose_is_a_dwell_that_is_permitted(string from, string to, string fix) =>
        Assert.Equal(fix, Assert.Throws<CompileException>(() => LookPlan.Of(Settings(Look.Replace(from, to, StringComparison.Ordinal)), Files(), new DiagnosticSink(), CancellationToken.None)).Diagnostic.Fix);

    [Theory]
    [InlineData("step: 60 nm", "step: 600 nm", "a window is 10 points wide, and must have 32 to 4096")]
    [InlineData("dwell: 5 us", "dwell: 5 us, looks: 1001", "'looks.looks' must be from 1 to 1000, but it is 1001")]
    [InlineData("dwell: 5 us", "dwell: 5 us, looks: 0", "'looks.looks' must be from 1 to 1000, but it is 0")]
    [InlineData("window: 6 um", "window: 1.86 um", "a window is 31 points wide, and must have 32 to 4096")]
    [InlineData("step: 60 nm", "step: 5 nm", "the windows have 2880000 points, more than the 1000000 of a table of samples")]
    [InlineData("{W: [-30 um, 0 um], E: [30 um, 10 um]}", "{}", "'looks.at' names no mark")]
    [InlineData("[below.layout]", "[]", "'looks.below' is an empty list")]
    public void A_section_that_makes_no_sense_is_refused(string from, string to, string message) =>
        Assert.Equal(message, Assert.Throws<CompileException>(() => Settings(Look.Replace(from, to, StringComparison.Ordinal))).Diagnostic.Message);

    [Fact]
    public void The_ends_of_what_makes_sense_belong_to_it()
    {
        Assert.Equal(1000, Settings(Look.Replace("dwell: 5 us", "dwell: 5 us, looks: 1000", StringComparison.Ordinal)).Job.Looks!.Looks);
        Assert.Equal(1920, Settings(Look.Replace("window: 6 um", "window: 1.92 um", StringComparison.Ordinal)).Job.Looks!.WindowNanometres);
    }

    /// <summary>A blanker that is led in to longer than a dwell adds a point to each of the 200 rows, and samples would be told apart by guess.</summary>
    [Fact]
    public void Other_points_than_those_of_the_look_are_refused()
    {
        BuildSettings settings = Settings(Look);
        settings = settings with { Machine = settings.Machine with { Blanker = new Blanker(true, true, 10e-6, 20e-6, 0) { IsCompensated = true } } };
        LookPlan plan = LookPlan.Of(settings, Files(), new DiagnosticSink(), CancellationToken.None);
        Diagnostic fault = Assert.Throws<CompileException>(() => LookExposure.Write(plan, settings, new CollectingSink<RecordsHeader, DeflectionRecord>(), new DiagnosticSink())).Diagnostic;
        Assert.Equal("the records have 20200 points, and the look has 20000", fault.Message);
        Assert.Equal("dwell longer than the blanker's delays and the shortest dwell together ('looks.dwell')", fault.Fix);
    }

    /// <summary>A window that ends between two points of the grid, 0.1 nm apart, is grown to the next ones: what overlaps with it by a step is met on each side, what begins where it ends is not.</summary>
    [Theory]
    [InlineData("(-50, -20) to (-34, 20)", true)]
    [InlineData("(-50, -20) to (-34.0001, 20)", false)]
    [InlineData("(-26.0001, -20) to (-20, 20)", true)]
    [InlineData("(-26, -20) to (-20, 20)", false)]
    [InlineData("(-50, -20) to (-20, -4)", true)]
    [InlineData("(-50, -20) to (-20, -4.0001)", false)]
    [InlineData("(-50, 3.9999) to (-20, 20)", true)]
    [InlineData("(-50, 4) to (-20, 20)", false)]
    public void Windows_between_points_of_the_grid_are_grown_to_the_next(string rectangle, bool meets)
    {
        MemoryFiles files = new MemoryFiles().With("below.layout", Below).With("pads.layout", $"layout 1\nunit um\nlayer pads\nrect on pads from {rectangle}\n");
        BuildSettings settings = Settings(Look.Replace("W: [-30 um, 0 um]", "W: [-30000.06 nm, -0.06 nm]", StringComparison.Ordinal));
        Exception? fault = Record.Exception(() => LookPlan.Of(settings, files, new DiagnosticSink(), CancellationToken.None));
        Assert.Equal(meets ? "PC1802" : null, (fault as CompileException)?.Diagnostic.Code.Id);
    }

    /// <summary>A window of 6 um reaches 3 um to each side, and the field 50.</summary>
    [Theory]
    [InlineData("46.9", "-20", true)]
    [InlineData("47.1", "-20", false)]
    [InlineData("-46.9", "20", true)]
    [InlineData("-47.1", "20", false)]
    [InlineData("20", "46.9", true)]
    [InlineData("20", "47.1", false)]
    [InlineData("-20", "-46.9", true)]
    [InlineData("-20", "-47.1", false)]
    public void Windows_lie_within_the_field(string x, string y, bool isWithin)
    {
        MemoryFiles files = new MemoryFiles().With("pads.layout", Pads)
            .With("below.layout", $"layout 1\nunit um\nlayer electrodes\nlayer marks\nrect on marks centre ({x}, {y}) size (3, 0.6)\nrect on marks centre ({x}, {y}) size (0.6, 3)\n");
        BuildSettings settings = Settings(Look.Replace("{W: [-30 um, 0 um], E: [30 um, 10 um]}", $"{{W: [{x} um, {y} um]}}", StringComparison.Ordinal));
        Exception? fault = Record.Exception(() => LookPlan.Of(settings, files, new DiagnosticSink(), CancellationToken.None));
        Assert.Equal(isWithin ? null : "the window of mark 'W' lies outside the field", (fault as CompileException)?.Diagnostic.Message);
    }

    /// <summary>In a field that is turned by 45 degrees each corner of a window, 4.24 um from its middle, is the one that leaves first: by 50 um from the field's.</summary>
    [Theory]
    [InlineData(1, 1)]
    [InlineData(-1, 1)]
    [InlineData(-1, -1)]
    [InlineData(1, -1)]
    public void Every_corner_of_a_window_lies_within_the_field(int right, int up)
    {
        foreach ((double along, bool isWithin) in ((double, bool)[])[(32.2, true), (32.5, false)])
        {
            string x = (right * along).ToString(CultureInfo.InvariantCulture), y = (up * along).ToString(CultureInfo.InvariantCulture);
            MemoryFiles files = new MemoryFiles().With("pads.layout", Pads)
                .With("below.layout", $"layout 1\nunit um\nlayer electrodes\nlayer marks\nrect on marks centre ({x}, {y}) size (3, 0.6)\nrect on marks centre ({x}, {y}) size (0.6, 3)\n");
            BuildSettings settings = Settings(Look.Replace("{W: [-30 um, 0 um], E: [30 um, 10 um]}", $"{{W: [{x} um, {y} um]}}", StringComparison.Ordinal));
            double turn = Math.Sqrt(0.5);
            settings = settings with { Machine = settings.Machine with { Deflection = settings.Machine.Deflection with { Calibration = new AffineCalibration(turn, -turn, 0, turn, turn, 0) } } };
            Exception? fault = Record.Exception(() => LookPlan.Of(settings, files, new DiagnosticSink(), CancellationToken.None));
            Assert.Equal(isWithin ? null : "the window of mark 'W' lies outside the field", (fault as CompileException)?.Diagnostic.Message);
        }
    }

    /// <summary>A window of 6 um has room for 2 um to each side if the layer may lie off by 1: a cross that ends there stays in it, one step of the grid further it does not.</summary>
    [Theory]
    [InlineData("(0.5, 0)", true)]
    [InlineData("(0.5001, 0)", false)]
    [InlineData("(-0.5, 0)", true)]
    [InlineData("(-0.5001, 0)", false)]
    [InlineData("(0, 0.7)", true)]
    [InlineData("(0, 0.7001)", false)]
    [InlineData("(0, -0.7)", true)]
    [InlineData("(0, -0.7001)", false)]
    public void A_cross_has_room_in_its_window(string off, bool hasRoom)
    {
        string[] by = off.Trim('(', ')').Split(", ");
        string middle = FormattableString.Invariant($"({-30 + decimal.Parse(by[0], CultureInfo.InvariantCulture)}, {decimal.Parse(by[1], CultureInfo.InvariantCulture)})");
        MemoryFiles files = new MemoryFiles().With("pads.layout", Pads)
            .With("below.layout", $"layout 1\nunit um\nlayer marks\nrect on marks centre {middle} size (3, 0.6)\nrect on marks centre {middle} size (0.6, 2.6)\n");
        Exception? fault = Record.Exception(() => LookPlan.Of(Settings(Look.Replace(", E: [30 um, 10 um]", "", StringComparison.Ordinal)), files, new DiagnosticSink(), CancellationToken.None));
        Assert.Equal(hasRoom ? null : "PC1804", (fault as CompileException)?.Diagnostic.Code.Id);
    }

    [Fact]
    public void A_centred_pattern_does_not_say_where_marks_are() => Assert.StartsWith(
        "'looks' says where marks are in the drawing",
        Assert.Throws<CompileException>(() => JobFile.Parse($"job: a\nposition: centred\nlooks: {{{Look}}}\n", null)).Diagnostic.Message,
        StringComparison.Ordinal);

    /// <summary>Areas are compared exactly: what ends where the grown window begins is clear, one step of the grid further it is not; a line and a dot count, too.</summary>
    [Theory]
    [InlineData("rect on pads from (-50, -20) to (-34, 20)", false)]
    [InlineData("rect on pads from (-50, -20) to (-33.9999, 20)", true)]
    [InlineData("polygon on pads (-40, 8) (-26, -10) (-40, -10)", true)]
    [InlineData("polygon on pads (-40, -6) (-34, -30) (-40, -30)", false)]
    [InlineData("line on pads (-40, 0) (-30, 10)", false)]
    [InlineData("line on pads (-40, 0) (-27, 13)", false)]
    [InlineData("line on pads (-40, -6) (-30, 4)", true)]
    [InlineData("dot on pads at (-33, 2)", true)]
    [InlineData("dot on pads at (-35, 2)", false)]
    public void What_this_job_writes_stays_clear(string shape, bool meets)
    {
        MemoryFiles files = new MemoryFiles().With("below.layout", Below).With("pads.layout", $"layout 1\nunit um\nlayer pads\n{shape}\n");
        if (!meets)
        {
            LookPlan.Of(Settings(Look), files, new DiagnosticSink(), CancellationToken.None);
            return;
        }

        CompileException fault = Assert.Throws<CompileException>(() => LookPlan.Of(Settings(Look), files, new DiagnosticSink(), CancellationToken.None));
        Assert.Equal("the window of mark 'W' meets what this job writes on layer 'pads', if the layer lies off by up to 1 um", fault.Diagnostic.Message);
    }

    /// <summary>Whatever number its layer has.</summary>
    [Theory]
    [InlineData("pads")]
    [InlineData("fingers")]
    [InlineData("wires")]
    public void Every_layer_of_this_job_stays_clear(string layer)
    {
        MemoryFiles files = new MemoryFiles().With("below.layout", Below).With("pads.layout", $"layout 1\nunit um\nlayer pads\nlayer fingers\nlayer wires\nrect on {layer} from (-50, -20) to (-33, 20)\n");
        Assert.Equal(
            $"the window of mark 'W' meets what this job writes on layer '{layer}', if the layer lies off by up to 1 um",
            Assert.Throws<CompileException>(() => LookPlan.Of(Settings(Look), files, new DiagnosticSink(), CancellationToken.None)).Diagnostic.Message);
    }

    [Fact]
    public void A_window_outside_the_field_is_refused()
    {
        string below = Below + "rect on marks centre (48, 0) size (3, 0.6)\nrect on marks centre (48, 0) size (0.6, 3)\n";
        CompileException fault = Assert.Throws<CompileException>(() => LookPlan.Of(
            Settings(Look.Replace("E: [30 um, 10 um]", "E: [48 um, 0 um]", StringComparison.Ordinal)), new MemoryFiles().With("below.layout", below).With("pads.layout", Pads), new DiagnosticSink(), CancellationToken.None));
        Assert.Equal(("PC1401", "the window of mark 'E' lies outside the field"), (fault.Diagnostic.Code.Id, fault.Diagnostic.Message));
    }

    [Theory]
    [InlineData(19_999)]
    [InlineData(20_001)]
    public void Samples_and_points_must_be_as_many(int samples)
    {
        LookPlan plan = LookPlan.Of(Settings(Look), Files(), new DiagnosticSink(), CancellationToken.None);
        CompileException fault = Assert.Throws<CompileException>(() => LookSamples.PicturesOf(plan.Look, Table("sample\n" + string.Concat(Enumerable.Repeat("1\n", samples))), "samples.csv"));
        Assert.Equal(
            ("PC1805", FormattableString.Invariant($"the table has {samples} samples, and the look has 20000 points (2 windows of 100 x 100)"), "samples.csv"),
            (fault.Diagnostic.Code.Id, fault.Diagnostic.Message, fault.Diagnostic.Place.File));
    }

    /// <summary>
    /// Samples of crosses that lie off by a known way are found there, whichever way from the field's middle their mark is, and wherever between two samples their
    /// edges lie, which are sharper than these are apart; a window that shows none stays in the table without a place.
    /// </summary>
    [Theory]
    [InlineData(437, -312)]
    [InlineData(520, -405)]
    [InlineData(900, 300)]
    [InlineData(0, 405)]
    public void Marks_are_found_where_they_lie(double allOffX, double allOffY)
    {
        (string Name, double X, double Y, double OffX, double OffY)[] marks = [("N", 6, 31, allOffX, allOffY), ("E", 33, -7, allOffX, allOffY), ("W", -30, 0, 0, 0)];
        string at = string.Join(", ", marks.Select(m => FormattableString.Invariant($"{m.Name}: [{m.X} um, {m.Y} um]")));
        string below = "layout 1\nunit um\nlayer marks\n" + string.Concat(marks.Select(m => FormattableString.Invariant($"rect on marks centre ({m.X}, {m.Y}) size (3, 0.6)\nrect on marks centre ({m.X}, {m.Y}) size (0.6, 3)\n")));
        BuildSettings settings = Settings(Look.Replace("{W: [-30 um, 0 um], E: [30 um, 10 um]}", $"{{{at}}}", StringComparison.Ordinal));
        var sink = new DiagnosticSink();
        LookPlan plan = LookPlan.Of(settings, new MemoryFiles().With("below.layout", below).With("pads.layout", Pads), sink, CancellationToken.None);
        var random = new Random(3);
        var text = new StringBuilder("sample\n");
        for (int point = 0; point < 3 * 10_000; point++)
        {
            (_, double markX, double markY, double offX, double offY) = marks[point / 10_000];
            (double x, double y) = LookExposure.PlaceOf(plan.Look, plan.Look.Marks[point / 10_000], point % 10_000 / 100, point % 100);
            double signal = 100 + (60 * Cross(x - (1000 * markX) - offX, y - (1000 * markY) - offY));
            text.Append((signal + (6 * (random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5))).ToString("0.##", CultureInfo.InvariantCulture)).Append('\n');
        }

        Micrograph[] pictures = [.. LookSamples.PicturesOf(plan.Look, Table(text.ToString()), "samples.csv")];
        pictures[2] = new Micrograph(2, 2, new float[4], 0, 60);
        string found = MarkSearch.Table(plan, [.. pictures.Select(picture => ((Micrograph, string)?)(picture, "samples.csv"))], settings.Job.Limits, sink, CancellationToken.None);
        IReadOnlyList<AlignmentMark> read = MarkTable.Of(Table(found, MarkTable.WordColumns), null);
        Assert.StartsWith("mark 'W' was not found: ", Assert.Single(sink.Collected).Message, StringComparison.Ordinal);
        for (int i = 0; i < 2; i++)
        {
            Assert.Equal((marks[i].Name, 1000 * marks[i].X, 1000 * marks[i].Y), (read[i].Name, Math.Round(read[i].WantedX, 3), Math.Round(read[i].WantedY, 3)));
            Assert.Equal(marks[i].OffX, read[i].FoundX - read[i].WantedX, 10.0);
            Assert.Equal(marks[i].OffY, read[i].FoundY - read[i].WantedY, 10.0);
        }

        Assert.False(read[2].IsFound);
    }

    // Edges blurred over a pixel.
    private static double Cross(double x, double y) => Math.Max(Bar(x, 1500, 60) * Bar(y, 300, 60), Bar(x, 300, 60) * Bar(y, 1500, 60));

    private static double Bar(double at, double half, double pixel) => Math.Clamp((half - Math.Abs(at)) / pixel + 0.5, 0, 1);

    private static MemoryFiles Files() => new MemoryFiles().With("below.layout", Below).With("pads.layout", Pads);

    private static MeasurementTable Table(string text, params ReadOnlySpan<string> words) => MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "table", words);

    private static BuildSettings Settings(string look) => new(
        JobFile.Parse($"job: a\nsources: [pads.layout]\nlooks: {{{look}}}\n", null),
        MachineFile.Parse(
            "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}\ndeflection: {field: 100 um, invert_y: yes}\nsettle: {fixed: 15 us}\n"
            + "clock: {rate: 10 MHz, shortest_dwell: 5 ticks, longest_dwell: 65535 ticks}\nblanker: {active: high}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 1 MB/s, buffer: 64 KiB}\n",
            null),
        ProcessFile.Parse("process: p\ndose: {area: 300 uC/cm2, line: 1 nC/cm, dot: 10 fC}\nresist: {onset: 100 uC/cm2, clearing: 250 uC/cm2}\n", null));
}
