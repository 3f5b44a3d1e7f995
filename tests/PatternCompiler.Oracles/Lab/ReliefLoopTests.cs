using System.Globalization;
using System.Text;
using PatternCompiler.Calibration.DoseToSize;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using Xunit.Abstractions;

namespace PatternCompiler.Oracles.Lab;

/// <summary>
/// From a dose test to a relief, in labs whose resist, spot and current nobody is told: squares at rising doses are written at a guess
/// that may be off by two, their thickness is read and fitted, and a staircase of wanted heights is written with what the fit says. The
/// spread that the tool is given is off, as a measured one is: 5 % in both ranges and in the ratio, as standard deviations. A dose
/// that is off by a part p of itself moves a height by the contrast times log10(1 + p) of the film: 2.5 % of the contrast are 6 % of a dose.
/// Every third lab has a negative resist. Contrast curves are bent in truth, the fitted one is straight. Heights are looked at beside the
/// converters' largest carries, where the beam leaves out or doubles a few codes and a seam stays. All is written in three passes: hum bunches the
/// rows of one, where a row takes nearly a whole number of its periods.
/// </summary>
public sealed class ReliefLoopTests(ITestOutputHelper console)
{
    private const double BaseGuess = 250;
    private const double LargestErrorPerContrast = 0.025;
    private const double SpotNanometres = 20;
    private const int UsualSeeds = 2;
    private const int Squares = 36;
    private const int Steps = 16;
    private const double StepNanometres = 2500;

    [Fact]
    public void A_staircase_comes_out_as_high_as_wanted()
    {
        var errors = new StringBuilder();
        LabVerdict verdict = LabSeeds.Run(LabSeeds.Chosen(UsualSeeds), seed => Loop(seed, errors, isCorrected: true));
        console.WriteLine($"{verdict.Seeds} seeds, {verdict.Failed} missed\n{verdict.Report}{errors}");
        Assert.True(verdict.Failed <= 0.02 * verdict.Seeds, verdict.Report);
    }

    // A judge that never complains is none: doses for large areas leave too much where a staircase ends.
    [Fact]
    public void Doses_without_the_neighbours_electrons_are_found_wrong() =>
        Assert.Equal(1, LabSeeds.Run([1], seed => Loop(seed, new StringBuilder(), isCorrected: false)).Failed);

    private static string? Loop(long seed, StringBuilder log, bool isCorrected)
    {
        using var folder = new TemporaryFolder();
        bool isNegative = seed % 3 == 0;
        ResistTone tone = isNegative ? ResistTone.Negative : ResistTone.Positive;
        LabTruth truth = LabTruth.Draw(seed, new LabSetup
        {
            Faults = LabFaults.Lateral | LabFaults.Hum | LabFaults.Decay | LabFaults.Converters,
            ClearingMicrocoulombs = BaseGuess,
            IsNegative = isNegative,
        });
        var lab = new Laboratory(truth);
        var dice = new Dice(seed, "spread as measured");
        SpreadPart[] parts = [.. truth.Resist.Spread];
        double[] spread = [parts[0].RangeNanometres * dice.Normal(1, 0.05), parts[1].RangeNanometres * dice.Normal(1, 0.05), parts[1].Ratio * dice.Normal(1, 0.05)];

        DoseFit fit = DoseTest(lab, folder, seed, tone, spread);
        ResistResponse response = fit.Contrast!.Response;
        folder.Write("wedge.layout", Staircase());
        WriteSettings(
            folder, "wedge", tone,
            $"sources: [wedge.layout]\nlayers: [{{layer: relief, values: heights}}]\n{(isCorrected ? "correct: {}\n" : "")}fill: {{strategy: raster, line_pitch: 20 codes, point_step: 20 codes, passes: 3}}",
            200 * response.PrintingCoulombsPerSquareMetre, spread, (100 * response.OnsetCoulombsPerSquareMetre, 100 * response.ClearingCoulombsPerSquareMetre));
        Sample relief = lab.Write(DecodedExposure.Read(CompiledExposure.Of(folder["wedge-job.yaml"])));
        double contrast = 1 / Math.Log10(truth.Resist.ClearingMicrocoulombs / truth.Resist.OnsetMicrocoulombs);
        (double worst, double squares) = (0, 0);
        for (int step = 0; step < Steps; step++)
        {
            double x = ((step + 0.5 - (Steps / 2)) * StepNanometres) + 300;
            DevelopedFilm film = relief.Develop(SampleWindow.Around(x, 0, 300, 8400), 10);
            foreach (double y in (double[])[-4100, -2300, 700, 2300, 4100])
            {
                double error = film.RemainingAt(x, y) - WantedAt(step);
                worst = Math.Abs(error) > Math.Abs(worst) ? error : worst;
                squares += error * error / (5 * Steps);
            }
        }

        log.Append(CultureInfo.InvariantCulture, $"seed {seed}: contrast {contrast:0.00} ({fit.Contrast.Contrast.Value:0.00} fitted), bent by {truth.Resist.Shape:0.00}, heights off by {Math.Sqrt(squares):0.000} of the film, {worst:0.000} at worst: {100 * Math.Abs(worst) / contrast:0.00} % of the contrast\n");
        return Math.Abs(worst) > LargestErrorPerContrast * contrast ? FormattableString.Invariant($"a height is off by {worst:0.000} of the film at a contrast of {contrast:0.00}") : null;
    }

    private static double WantedAt(int step) => 0.9 - (0.05 * step);

    private static string Staircase()
    {
        var text = new StringBuilder("layout 1\nunit nm\nlayer relief\n");
        for (int step = 0; step < Steps; step++)
        {
            double left = (step - (Steps / 2)) * StepNanometres;
            text.Append(CultureInfo.InvariantCulture, $"rect on relief from ({left}, -5000) to ({left + StepNanometres}, 5000) dose {WantedAt(step):0.##}\n");
        }

        return text.ToString();
    }

    // Squares 10 um wide, 16 um apart, from 0.16 to 2.6 times the guess.
    private static DoseFit DoseTest(Laboratory lab, TemporaryFolder folder, long seed, ResistTone tone, double[] spread)
    {
        var layout = new StringBuilder("layout 1\nunit um\nlayer squares\n");
        (double X, double Y, double Factor) Square(int i) => (16 * ((i % 6) - 2.5), 16 * ((i / 6) - 2.5), Math.Round(0.16 * Math.Pow(2.6 / 0.16, i / (Squares - 1.0)), 3));
        for (int i = 0; i < Squares; i++)
        {
            (double x, double y, double factor) = Square(i);
            layout.Append(CultureInfo.InvariantCulture, $"rect on squares from ({x - 5}, {y - 5}) to ({x + 5}, {y + 5}) dose {factor}\n");
        }

        folder.Write("test.layout", layout.ToString());
        WriteSettings(folder, "test", tone, "sources: [test.layout]\nfill: {line_pitch: 20 codes, point_step: 20 codes, passes: 3}", BaseGuess, spread, (BaseGuess / 4, BaseGuess / 2));
        Sample sample = lab.Write(DecodedExposure.Read(CompiledExposure.Of(folder["test-job.yaml"])));
        var meter = new Meter(new Dice(seed, "meter"));
        DoseReading[] readings =
        [
            .. Enumerable.Range(0, Squares).Select(Square).Select(square => new DoseReading(
                new DoseFeature(DoseFeatureKind.Square, 10_000, 10_000, 1, 0, double.PositiveInfinity),
                square.Factor * BaseGuess, double.NaN,
                meter.Thickness(sample.Develop(SampleWindow.Around(1000 * square.X, 1000 * square.Y, 200, 200), 10), 1000 * square.X, 1000 * square.Y), null)),
        ];
        SpreadFunction known = SpreadFunction.TwoGaussian(spread[0], spread[1], spread[2]).WithSpot(SpotNanometres);
        return DoseFitter.Fit(readings, known, DoseFitter.UsualSpreadError, tone, new DiagnosticSink());
    }

    private static void WriteSettings(TemporaryFolder folder, string name, ResistTone tone, string job, double area, double[] spread, (double First, double Last) response)
    {
        string machine = Path.GetFullPath(OutsidePrograms.Corpus("..", "..", "examples", "humidity-sensor", "machine-16bit.yaml"));
        string text = string.Create(CultureInfo.InvariantCulture, $"process: {name}\ndose: {{area: {area:0.###} uC/cm2, line: 1 nC/cm, dot: 1 fC}}\n")
            + string.Create(CultureInfo.InvariantCulture, $"resist: {{tone: {(tone == ResistTone.Negative ? "negative" : "positive")}, onset: {response.First:0.###} uC/cm2, clearing: {response.Last:0.###} uC/cm2}}\n")
            + string.Create(CultureInfo.InvariantCulture, $"spread: {{forward: {spread[0]:0.###} nm, backscatter: {spread[1]:0.###} nm, ratio: {spread[2]:0.####}}}\n");
        folder.Write(name + "-process.yaml", text);
        folder.Write(name + "-job.yaml", $"job: {name}\nmachine: {machine}\nprocess: {name}-process.yaml\n{job}\n");
    }
}
