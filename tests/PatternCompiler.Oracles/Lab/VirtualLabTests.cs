using System.Globalization;
using System.Security.Cryptography;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;

namespace PatternCompiler.Oracles.Lab;

/// <summary>The virtual lab's own parts against closed forms, published values and SciPy: a judge that is wrong judges nothing.</summary>
public sealed class VirtualLabTests
{
    private const double NanometresPerCode = 100_000.0 / 65536;
    private static readonly LabTruth Ideal = LabTruth.Draw(1, new LabSetup { InvertY = false, Faults = LabFaults.None }) with
    {
        Column = new ColumnTruth(100, 0, 0, 0, 0, 50, 0, 0, 0),
        Resist = new ResistTruth(false, 200, 50, 100, 1, 0, [new SpreadPart(120, 1), new SpreadPart(2000, 0.74)]),
    };

    // Published check values of CRC-32C: RFC 3720, appendix B.4, and the parameter catalogue's "123456789".
    [Fact]
    public void Checks_are_those_of_the_standard()
    {
        Assert.Equal(0xE3069283, Crc32C.Of("123456789"u8));
        Assert.Equal(0x8A9136AA, Crc32C.Of(new byte[32]));
    }

    [Theory]
    [InlineData(0, 1)]
    [InlineData(1, 1)]
    [InlineData(1, 2)]
    public void Streams_of_both_versions_are_read_and_damage_is_refused(int minor, int coding)
    {
        byte[] bytes = new StreamBuilder(minor, coding).Jump(40000, 100, 20).Dot(40001, 101, 70_000).Line(5, 9, 1, 30, 8, 6, 3).Wait(4).ToArray();
        DecodedExposure read = DecodedExposure.Read(bytes);
        Assert.Equal(new StreamRecord(RecordKind.Jump, 40000, 100, 0, 0, 20, 0, 0), read.Records[0]);
        Assert.Equal(new StreamRecord(RecordKind.Dot, 40001, 101, 0, 0, 70_000, 0, 0), read.Records[1]);
        Assert.Equal(new StreamRecord(RecordKind.Line, 5, 9, 1, 30, 6, 8, 3), read.Records[2]);
        for (int i = 0; i < bytes.Length; i++)
        {
            byte[] damaged = [.. bytes];
            damaged[i] ^= 0x10;
            Assert.Throws<StreamFaultException>(() => DecodedExposure.Read(damaged));
            Assert.Throws<StreamFaultException>(() => DecodedExposure.Read(bytes.AsSpan(0, i)));
        }
    }

    // What the compiler writes holds together for another reader, and its charge is the drawing's: 300 µC/cm² on 4 µm².
    [Fact]
    public void A_compiled_square_has_its_charge_and_its_place()
    {
        using var folder = new TemporaryFolder();
        string machine = Path.GetFullPath(OutsidePrograms.Corpus("..", "..", "examples", "humidity-sensor", "machine-16bit.yaml"));
        folder.Write("a.layout", "layout 1\nunit um\nlayer a\nrect on a from (3, -7) to (4, -3)\n");
        folder.Write("p.yaml", "process: test\ndose: {area: 300 uC/cm2, line: 1 nC/cm, dot: 1 fC}\nresist: {onset: 100 uC/cm2, clearing: 150 uC/cm2}\n");
        folder.Write("job.yaml", $"job: test\nmachine: {machine}\nprocess: p.yaml\nsources: [a.layout]\nfill: {{line_pitch: 10 codes, point_step: 10 codes}}\n");
        LabTruth truth = LabTruth.Draw(1, new LabSetup { Faults = LabFaults.None });
        truth = truth with { Column = truth.Column with { CurrentPicoamperes = 200 } };
        Deposits charge = new Laboratory(truth).Write(DecodedExposure.Read(CompiledExposure.Of(folder["job.yaml"]))).Deposits;
        Assert.Equal(300e-6 * 4e-8 * 1e15, charge.TotalFemtocoulombs, 0.02);
        (double x, double y) = Mean(charge);
        Assert.Equal(3500, x, 1.0);
        Assert.Equal(-5000, y, 1.0);
    }

    // Strips, squares and half planes of a uniform dose: 100 µC/cm² in steps of 10 nm. Energies of the table of exact results for
    // α = 120 nm, β = 2 µm, η = 0.74 (closed forms in erf, computed apart; T. H. P. Chang, J. Vac. Sci. Technol. 12, 1271 (1975)).
    [Theory]
    [InlineData(500, 24_000, 0, 0.632539)]
    [InlineData(500, 24_000, 250, 0.346115)]
    [InlineData(2000, 24_000, 0, 0.796075)]
    [InlineData(2000, 24_000, 1000, 0.466551)]
    [InlineData(1000, 1000, 0, 0.607186)]
    [InlineData(2000, 2000, 0, 0.689932)]
    [InlineData(24_000, 24_000, 12_000, 0.5)]
    public void Absorbed_energy_is_the_closed_form(int width, int height, int x, double expected)
    {
        SampleGrid energy = AbsorbedEnergy.In(Rectangle(width, height, 10), Ideal.Resist.Spread, 0, SampleWindow.Around(x, 0, 400, 400), 10);
        Assert.Equal(100 * expected, energy.At(x, 0), 0.01);
    }

    // The same at uneven places, with SciPy's erf, and the lab's own erf: to 1e-4 of the dose, as the lab's page says. Points every
    // 5 nm: every 10 nm, the points themselves stand for an even dose to 1e-4 only.
    [NumPyFact]
    public void Absorbed_energy_is_SciPys_at_any_place()
    {
        Deposits charge = Rectangle(700, 1300, 5);
        SampleGrid energy = AbsorbedEnergy.In(charge, Ideal.Resist.Spread, 30, SampleWindow.Around(0, 0, 2600, 2600), 10);
        var dice = new Dice(5, "places");
        double[][] places = [.. Enumerable.Range(0, 200).Select(_ => new[] { dice.Between(-1200, 1200), dice.Between(-1200, 1200) })];
        string text = string.Join(';', places.Select(p => string.Create(CultureInfo.InvariantCulture, $"{p[0]:R},{p[1]:R}")));
        const string Program = """
            import sys, numpy as np
            from scipy.special import erf
            p = np.array([[float(v) for v in q.split(',')] for q in sys.argv[1].split(';')])
            s = 30 / (2 * np.sqrt(np.log(2)))
            def g(x, w, a): return (erf((w / 2 - x) / a) + erf((w / 2 + x) / a)) / 2
            e = sum(r * g(p[:, 0], 700, np.hypot(a, s)) * g(p[:, 1], 1300, np.hypot(a, s)) for a, r in ((120, 1), (2000, .74))) / 1.74
            print(' '.join(repr(float(v)) for v in np.concatenate([100 * e, erf(p[:, 0] / 400)])))
            """;
        (int code, string output, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, "-c", Program, text);
        Assert.True(code == 0, errors);
        double[] expected = [.. output.Split(' ').Select(v => double.Parse(v, CultureInfo.InvariantCulture))];
        for (int i = 0; i < places.Length; i++)
        {
            Assert.Equal(expected[i], energy.At(places[i][0], places[i][1]), 0.01);
            Assert.Equal(expected[places.Length + i], ErrorFunction.Of(places[i][0] / 400), 1e-12);
        }
    }

    // A dot of 10 µs, 3 µs settling: on its way the beam has the mean place ∫exp(−t/τ)dt/T = τ/T·(1 − exp(−T/τ)) of the way back.
    [Fact]
    public void A_settling_deflection_trails_by_its_exponential()
    {
        LabTruth truth = Ideal with { Field = Ideal.Field with { TimeConstantSeconds = 3e-6 } };
        Deposits charge = Write(truth, new StreamBuilder().Jump(32768, 32768, 1000).Dot(32768 + 655, 32768, 100));
        Assert.Equal(100 * 10e-6 * 1000, charge.TotalFemtocoulombs, 1e-6);
        double left = 0.3 * (1 - Math.Exp(-1 / 0.3));
        Assert.Equal(655 * NanometresPerCode * (1 - left), Mean(charge).X, 0.5);
    }

    // Line on for T: the beam is late by the on delay, rises over r, is late by the off delay, falls over f; the charge is
    // I·(T − on + off − r/2 + f/2), and what falls after a jump lands where the beam jumped to.
    [Fact]
    public void A_slow_blanker_moves_charge_by_its_delays()
    {
        LabTruth truth = Ideal with { Blanker = new BlankerTruth(0.3e-6, 0.5e-6, 0.4e-6, 0.2e-6, 0) };
        Deposits charge = Write(truth, new StreamBuilder().Jump(32768, 32768, 100).Dot(32768, 32768, 50).Jump(40000, 32768, 100));
        Assert.Equal(100 * (5 - 0.3 + 0.5 - 0.2 + 0.1) * 1e-6 * 1000, charge.TotalFemtocoulombs, 1e-9);
        double away = charge.All().Where(d => d.X > 5000).Sum(d => d.Femtocoulombs);
        Assert.Equal(100 * (0.5 + 0.1) * 1e-6 * 1000, away, 1e-6);

        // A pulse that ends before it begins was never there, nor a gap that ends before it begins.
        Assert.Equal(0, Write(truth with { Blanker = new BlankerTruth(2e-6, 0.1e-6, 0, 0, 0) }, new StreamBuilder().Jump(1, 1, 9).Dot(1, 1, 10).Wait(99)).TotalFemtocoulombs);
        Deposits whole = Write(truth with { Blanker = new BlankerTruth(0.1e-6, 2e-6, 0, 0, 0) }, new StreamBuilder().Jump(1, 1, 9).Dot(1, 1, 50).Wait(10).Dot(1, 1, 50));
        Assert.Equal(100 * (11 - 0.1 + 2) * 1e-6 * 1000, whole.TotalFemtocoulombs, 1e-6);
    }

    [Fact]
    public void A_line_is_played_point_by_point_as_the_page_says()
    {
        Deposits charge = Write(Ideal, new StreamBuilder().Jump(0, 0, 9).Line(32768, 32768, 32768 + 10, 32768 - 3, 5, 2, 3));
        Deposit[] points = [.. charge.All()];

        // x: 2.5 and 7.5 are rounded half up; y: -0.75, -1.5, -2.25; 2 ticks, one more where floor((i+1)·3/5) steps.
        Assert.Equal([0.0, 3, 5, 8, 10], points.Select(p => Math.Round(p.X / NanometresPerCode, 3)));
        Assert.Equal([0.0, -1, -1, -2, -3], points.Select(p => Math.Round(p.Y / NanometresPerCode, 3)));
        Assert.Equal([2.0, 3, 2, 3, 3], points.Select(p => Math.Round(p.Femtocoulombs / 0.01, 3)));
    }

    [Fact]
    public void Outputs_drive_the_axes_that_the_stream_names_and_hidden_senses_hold()
    {
        LabTruth truth = Ideal with { Field = Ideal.Field with { NanometresPerVoltY = -5000, RotationRadians = Math.PI / 2 } };
        Deposit plain = Write(truth, new StreamBuilder().Jump(0, 0, 9).Dot(32768 + 1000, 32768 + 400, 5)).All().Single();

        // (1000, 400) codes → volts → (x, -y) → a quarter turn: (y, x).
        Assert.Equal((400 * NanometresPerCode, 1000 * NanometresPerCode), (plain.X, plain.Y), new Near(0.01));
        LabTruth errors = truth with { ConverterX = new ConverterTruth([-2, 0.5], 0), Field = Ideal.Field };
        Deposit carried = Write(errors, new StreamBuilder().Jump(0, 0, 9).Dot(32768, 16384, 5)).All().Single();
        Assert.Equal((-2 * NanometresPerCode, -16384 * NanometresPerCode), (carried.X, carried.Y), new Near(0.01));
    }

    [Fact]
    public void A_stage_turns_and_loses_its_backlash_when_it_changes_sense()
    {
        var stage = new StageState(new StageTruth(0.01, 2000, 500, 0), new Dice(1, "stops"));
        (double X, double Y)[] centres = [(0, 0), (90_000, 0), (0, 0), (0, 60_000)];
        (double X, double Y)[] stops = [.. centres.Select(c => stage.Visit(new FieldVisit("", 0, 0, c.X, c.Y, 0, [])))];
        Assert.Equal((90_000 * Math.Cos(0.01), 90_000 * Math.Sin(0.01)), stops[1], new Near(1e-6));
        Assert.Equal((2000.0, 0.0), stops[2], new Near(1e-6));
        Assert.Equal((2000 - (60_000 * Math.Sin(0.01)), 60_000 * Math.Cos(0.01)), stops[3], new Near(1e-6));
    }

    // A bar of 1 µm with twice the clearing dose... its edges lie where the closed form, halved by bisection, says.
    [Fact]
    public void A_meter_reads_the_width_that_the_closed_form_gives()
    {
        ResistTruth resist = Ideal.Resist with { LateralNanometres = 7 };
        LabTruth truth = Ideal with { Resist = resist };
        DevelopedFilm film = new Sample(truth, Rectangle(1000, 30_000, 10, 230)).Develop(SampleWindow.Around(0, 0, 2400, 1000));
        double Energy(double x) => 230 * (Strip(x, 120) + (0.74 * Strip(x, 2000))) / 1.74;
        double Strip(double x, double a) => (ErrorFunction.Of((500 - x) / a) + ErrorFunction.Of((500 + x) / a)) / 2;
        (double low, double high) = (0, 2000);
        for (int i = 0; i < 60; i++)
        {
            (low, high) = Energy((low + high) / 2) > 100 ? ((low + high) / 2, high) : (low, (low + high) / 2);
        }

        Assert.Equal((2 * low) + 14, new Meter(new Dice(1, "meter"), 0, 0).Width(film, 0, 0, true, 1100)!.Value, 0.6);
        Assert.Null(new Meter(new Dice(1, "meter"), 0, 0).Width(film, 0, 0, false, 300));
        Assert.True(Meter.Prints(film, 0, 0) && !Meter.Prints(film, 900, 0));
    }

    // Contrast curves: half of the way in log(dose) is half of the thickness for shape 1.
    [Theory]
    [InlineData(false, 70.710678, 0.5)]
    [InlineData(true, 70.710678, 0.5)]
    [InlineData(false, 50, 1)]
    [InlineData(true, 49, 0)]
    [InlineData(true, 100, 1)]
    public void Development_follows_the_contrast_curve(bool isNegative, double dose, double remaining)
    {
        ResistTruth resist = Ideal.Resist with { IsNegative = isNegative };
        Assert.Equal(remaining, resist.Remaining(dose), 1e-6);
        Assert.Equal(isNegative ? Math.Sqrt(5000) : 100, resist.EdgeMicrocoulombs, 1e-9);
    }

    // Profile across an edge of a picture without noise: a step blurred by σ is (1 + erf(x/(σ√2)))/2, and stands where it is.
    [Fact]
    public void A_picture_shows_an_edge_where_it_is_with_its_blur_and_noise()
    {
        var scope = new MicroscopeTruth(0.02, 0, 6, 1e9, 0.3, 0.5, 0, 10, 0, 0);
        Sample sample = new(Ideal, Rectangle(6000, 30_000, 10, 200));
        var shot = new Shot { CentreXNanometres = 3000, Width = 200, Height = 40, NanometresPerPixel = 4, HasDataBar = false };
        var camera = new Camera(scope, new Dice(3, "picture"));
        DevelopedFilm film = sample.Develop(camera.WindowOf(shot), 8);
        double edge = film.DistanceToEdge(2800, 0, 1, 0, 400)!.Value + 2800;
        Micrograph picture = camera.Photograph(film, shot);
        double pixel = 4 / 1.02;
        double blur = Math.Sqrt(36 + (pixel * pixel / 12));
        for (int column = 60; column < 140; column++)
        {
            double from = 3000 + ((column - 99.5) * pixel) - edge;
            double step = (1 + ErrorFunction.Of(from / (Math.Sqrt(2) * blur))) / 2;
            double body = 0.9 + (0.1 * film.RemainingAt(3000 + ((column - 99.5) * pixel), 0));
            Assert.Equal(0.3 + (0.2 * step * body), picture.Signal[(20 * 200) + column], 0.001);
        }

        // Poisson: the variance of the count is its mean.
        Micrograph noisy = new Camera(scope with { ElectronsPerPixel = 100 }, new Dice(3, "picture")).Photograph(film, shot with { CentreXNanometres = 1500 });
        double mean = noisy.Signal.Average() * 100;
        double variance = noisy.Signal.Select(v => v * 100).Average(v => (v - mean) * (v - mean));
        Assert.Equal(30, mean, 0.3);
        Assert.Equal(1, variance / mean, 0.06);
    }

    [NumPyFact]
    public void Pictures_open_elsewhere()
    {
        using var folder = new TemporaryFolder();
        var picture = new Micrograph(5, 3, [.. Enumerable.Range(0, 15).Select(i => i / 14.0)], 2.5, 0);
        File.WriteAllBytes(folder["a.npy"], PictureFiles.Npy(picture));
        File.WriteAllBytes(folder["a.png"], PictureFiles.Png(picture));
        const string Program = """
            import sys, zlib, struct, numpy as np
            a = np.load(sys.argv[1])
            d = open(sys.argv[2], 'rb').read()
            at, idat = 8, b''
            while at < len(d):
                n, kind = struct.unpack('>I4s', d[at:at + 8])
                assert zlib.crc32(d[at + 4:at + 8 + n]) == struct.unpack('>I', d[at + 8 + n:at + 12 + n])[0]
                if kind == b'pHYs': metre = struct.unpack('>IIB', d[at + 8:at + 17])
                if kind == b'IDAT': idat += d[at + 8:at + 8 + n]
                at += 12 + n
            rows = np.frombuffer(zlib.decompress(idat), np.uint8).reshape(3, 6)[:, 1:]
            print(a.dtype, a.shape, a[2, 4], rows[0, 1], rows[2, 4], *metre)
            """;
        (int code, string output, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, "-c", Program, folder["a.npy"], folder["a.png"]);
        Assert.True(code == 0, errors);
        Assert.Equal("uint16 (3, 5) 65535 18 255 400000000 400000000 1\n", output);
    }

    [Fact]
    public void A_seed_makes_the_same_lab_and_the_same_picture_and_parts_are_rolled_apart()
    {
        string Picture(long seed)
        {
            LabTruth truth = LabTruth.Draw(seed, new LabSetup());
            Sample sample = new Laboratory(truth).Write(new StreamBuilder().Jump(32000, 32768, 100).Line(32768, 32768, 33000, 32900, 100, 500, 0).Read());
            var camera = new Camera(truth.Microscope, new Dice(seed, "picture"));
            var shot = new Shot { Width = 64, Height = 48 };
            return Convert.ToHexString(SHA256.HashData(PictureFiles.Png(camera.Photograph(sample.Develop(camera.WindowOf(shot)), shot))));
        }

        Assert.Equal(Picture(11), Picture(11));
        Assert.NotEqual(Picture(11), Picture(12));
        LabTruth all = LabTruth.Draw(11, new LabSetup()), few = LabTruth.Draw(11, new LabSetup { Faults = LabFaults.Field });
        Assert.Equal(all.Field with { CrosstalkXFromY = 0, CrosstalkYFromX = 0, CubicPerSquareNanometre = 0, TimeConstantSeconds = 0 }, few.Field);
        Assert.Equal(all.Column.SpotNanometres, few.Column.SpotNanometres);
    }

    [Fact]
    public void A_failing_seed_is_named_with_how_to_run_it_alone()
    {
        LabVerdict verdict = LabSeeds.Run([3, 4, 5], seed => seed == 4 ? "too wide" : seed == 5 ? throw new InvalidOperationException("no beam") : null);
        Assert.Equal(2, verdict.Failed);
        Assert.Equal("seed 4 (alone: PATTERNC_LAB_SEED=4): too wide\nseed 5 (alone: PATTERNC_LAB_SEED=5): InvalidOperationException: no beam\n", verdict.Report);
    }

    // Means and variances over many rolls, to five standard errors.
    [Theory]
    [InlineData(3.0)]
    [InlineData(200.0)]
    public void Dice_are_fair(double mean)
    {
        var dice = new Dice(2, "fair");
        const int Rolls = 40_000;
        double[] counts = [.. Enumerable.Range(0, Rolls).Select(_ => (double)dice.Poisson(mean))];
        Assert.Equal(mean, counts.Average(), 5 * Math.Sqrt(mean / Rolls));
        Assert.Equal(1, counts.Average(c => (c - mean) * (c - mean)) / mean, 5 * Math.Sqrt((2 + (1 / mean)) / Rolls));
        double[] normals = [.. Enumerable.Range(0, Rolls).Select(_ => dice.Normal(0, 1))];
        Assert.Equal(0, normals.Average(), 5 / Math.Sqrt(Rolls));
        Assert.Equal(1, normals.Average(v => v * v), 5 * Math.Sqrt(2.0 / Rolls));
        Assert.Equal(0.6827, normals.Count(v => Math.Abs(v) < 1) / (double)Rolls, 0.012);
    }

    private static Deposits Write(LabTruth truth, StreamBuilder stream) => new Laboratory(truth).Write(stream.Read()).Deposits;

    // A dose in µC/cm², 1e-5 fC/nm², on the nodes of a grid whose cells fill the rectangle.
    private static Deposits Rectangle(int width, int height, int step, double dose = 100)
    {
        var deposits = new Deposits();
        for (double x = (-width + step) / 2.0; x < width / 2.0; x += step)
        {
            for (double y = (-height + step) / 2.0; y < height / 2.0; y += step)
            {
                deposits.Add(x, y, dose * 1e-5 * step * step);
            }
        }

        return deposits;
    }

    private static (double X, double Y) Mean(Deposits charge)
    {
        Deposit[] all = [.. charge.All()];
        return (all.Sum(d => (double)d.X * d.Femtocoulombs) / charge.TotalFemtocoulombs, all.Sum(d => (double)d.Y * d.Femtocoulombs) / charge.TotalFemtocoulombs);
    }

    private sealed class Near(double tolerance) : IEqualityComparer<(double X, double Y)>
    {
        public bool Equals((double X, double Y) a, (double X, double Y) b) => Math.Abs(a.X - b.X) <= tolerance && Math.Abs(a.Y - b.Y) <= tolerance;

        public int GetHashCode((double X, double Y) pair) => 0;
    }
}
