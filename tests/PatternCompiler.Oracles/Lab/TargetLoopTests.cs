using System.Globalization;
using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.BlankerDelay;
using PatternCompiler.Calibration.Converters;
using PatternCompiler.Calibration.Settling;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Measure;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Units;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Truth;
using Xunit.Abstractions;

namespace PatternCompiler.Oracles.Lab;

/// <summary>
/// Targets for the blanker, for settling and for stitching: drawn, written in a lab with a fault that nobody is told, photographed,
/// measured, fitted; the fault must come out. The tables go as text from one to the next, as they do between the commands.
/// </summary>
public sealed class TargetLoopTests(ITestOutputHelper console)
{
    private const int UsualSeeds = 2;
    private const double Picoamperes = 2000;
    private const double FastPicoamperes = 3000;
    private static readonly Unit Microsecond = new("us", Dimension.Time, -6);
    private static readonly Unit NanometrePerMicrosecond = new("nm/us", Dimension.Speed, -3);

    [Fact]
    public void Delays_of_the_blanker_come_back_from_ends_of_lines() => Run(seed =>
    {
        LabTruth truth = Truth(seed, LabFaults.Blanker | LabFaults.Lateral, FastPicoamperes);
        using var target = new TargetExposure(truth, FastPicoamperes, "blanker-target", "speeds=4 dashes=4 dash=1um spacing=1um");
        BuildSettings settings = target.Settings("fixed: 15 us", "active: high, off_delay: 1.2 us, on_delay: 0 us", "fill: {line_pitch: 32 codes, point_step: 48 codes}");
        MeasuredPicture measured = target.Measure(target.Write(settings), 0, 0, 1360, 800, 7, 150, MapFreedom.Similarity);
        MeasurementTable table = Table(MeasureTables.Tails(measured, WrittenTiming.Of(settings), "picture"));
        BlankerDelayFit fit = BlankerDelayFitter.Fit(
            table.PositiveColumn("speed", NanometrePerMicrosecond), table.Column("tail", Unit.Nanometre), table.Column("missing", Unit.Nanometre), new DiagnosticSink());

        // What rises and falls evenly counts by half.
        double off = 1e6 * (truth.Blanker.OffDelaySeconds + (truth.Blanker.FallSeconds / 2)), on = 1e6 * (truth.Blanker.OnDelaySeconds + (truth.Blanker.RiseSeconds / 2));
        string found = FormattableString.Invariant($"{measured.Lines.Length} lines, off after {fit.OffDelay.Value:0.000} us ({off:0.000} in truth, standard error {fit.OffDelay.StandardError:0.000}), on after {fit.OnDelay.Value:0.000} us ({on:0.000}, {fit.OnDelay.StandardError:0.000})");
        return (found, IsNear(fit.OffDelay, off, 0.03 + (0.1 * off)) && IsNear(fit.OnDelay, on, 0.03 + (0.1 * on)));
    });

    [Fact]
    public void The_time_constant_comes_back_from_dots_after_jumps() => Run(seed =>
    {
        LabTruth truth = Truth(seed, LabFaults.Settling | LabFaults.Lateral);
        const double Longest = 80_000, Bar = 1000;
        const int Jumps = 4;
        using var target = new TargetExposure(truth, Picoamperes, "settling-target", FormattableString.Invariant($"jumps={Jumps} longest=80um bar=1um"));
        var text = new StringBuilder();

        // Waits that double tell about how long it takes: between the shortest and the longest that show anything lies hardly one more.
        foreach (int wait in (int[])[6, 12, 24, 48])
        {
            WriteAndMeasure(wait);
        }

        (double furthest, double displacement, double jump) = Furthest(Table(text.ToString()));
        double about = furthest / Math.Log(jump / displacement);
        foreach (int step in (int[])[-2, -1, 1, 2, 3, 4])
        {
            WriteAndMeasure(Math.Round(furthest + (step * about / 2), 1));
        }

        MeasurementTable all = Table(text.ToString());
        SettlingFit fit = SettlingFitter.Fit(all.PositiveColumn("jump", Unit.Nanometre), all.Column("wait", Microsecond), all.Column("displacement", Unit.Nanometre), new DiagnosticSink());
        double constant = 1e6 * truth.Field.TimeConstantSeconds;
        return (FormattableString.Invariant($"{all.Count} dots, time constant {fit.TimeConstant.Value:0.000} us ({constant:0.000} in truth, standard error {fit.TimeConstant.StandardError:0.000})"), Math.Abs(fit.TimeConstant.Value - constant) <= 0.05 * constant);

        void WriteAndMeasure(double wait)
        {
            BuildSettings settings = target.Settings(FormattableString.Invariant($"fixed: {wait} us"), "active: high", "fill: {line_pitch: 64 codes, point_step: 16 codes}");
            Sample sample = target.Write(settings);
            for (int i = 0; i < Jumps; i++)
            {
                double x = (-Longest / 2) + (Longest * (i + 1) / Jumps), y = 5 * Bar * ((2 * i) - Jumps + 1) / 2;
                try
                {
                    string table = MeasureTables.Settling(target.Measure(sample, x + 100, y - 600, 480, 600, 6, 150, MapFreedom.Rigid), WrittenTiming.Of(settings), "picture");
                    text.Append(text.Length == 0 ? table : table[(table.IndexOf('\n', StringComparison.Ordinal) + 1)..]);
                }
                catch (CompileException)
                {
                    // Dots are too far off to be told from others, or smeared over the bars.
                }
            }
        }
    }, usualSeeds: 1);

    // The dot that is furthest off.
    private static (double Wait, double Displacement, double Jump) Furthest(MeasurementTable table) =>
        table.Column("wait", Microsecond).Zip(table.Column("displacement", Unit.Nanometre), table.PositiveColumn("jump", Unit.Nanometre)).MaxBy(row => row.Second);

    [Fact]
    public void The_error_of_the_stage_comes_back_from_verniers() => Run(seed =>
    {
        LabTruth truth = Truth(seed, LabFaults.Lateral) with { Stage = new StageTruth(0.0008, 40, 0, 25) };
        const double Field = 90_000;
        const string Settings = "field=90um teeth=4 ";
        using var target = new TargetExposure(truth, Picoamperes, "stitching-vernier", Settings + "columns=1");
        Sample sample = target.Write(target.Settings("fixed: 15 us", "active: high", "fill: {line_pitch: 16 codes, point_step: 16 codes}\ncorrect: {target: edge}"), (-Field / 2, 0), (Field / 2, 0));
        MeasuredPicture measured = target.Measure(sample, 0, 0, 640, 640, 15, 150, MapFreedom.Similarity, TargetExposure.Drawn("stitching-vernier", Settings + "columns=2"));
        MeasuredVernier vernier = measured.Verniers.Single();
        IReadOnlyList<(double X, double Y)> stops = target.Lab.Stops;
        (double offX, double offY) = (stops[1].X - stops[0].X - Field, stops[1].Y - stops[0].Y);
        return (
            FormattableString.Invariant($"offset ({vernier.OffsetX:0.0}, {vernier.OffsetY:0.0}) nm, ({offX:0.0}, {offY:0.0}) in truth, standard errors ({vernier.ErrorX:0.0}, {vernier.ErrorY:0.0}), reading {vernier.Reading:0.00}"),
            Math.Abs(vernier.OffsetX - offX) < 2 + (4 * vernier.ErrorX) && Math.Abs(vernier.OffsetY - offY) < 2 + (4 * vernier.ErrorY));
    });

    /// <summary>Lines about the largest carry: the step from one to the next tells how far the carry is off, in steps.</summary>
    [Fact]
    public void Carries_come_back_from_lines_beside_them() => Run(seed =>
    {
        LabTruth truth = Truth(seed, LabFaults.Converters);
        truth = truth with { ConverterX = truth.ConverterX with { BitErrors = [6, 0, 0, 0, 0, 0] }, ConverterY = truth.ConverterY with { BitErrors = [-5, 0, 0, 0, 0, 0] } };
        using var target = new TargetExposure(truth, Picoamperes, "dac-target", "lines=10");
        BuildSettings settings = target.Settings("fixed: 15 us", "active: high", "fill: {line_pitch: 16 codes, point_step: 16 codes}");
        MeasuredPicture measured = target.Measure(target.Write(settings), -2500, 2500, 1640, 1640, 7, 100, MapFreedom.Similarity);
        MeasurementTable table = MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(MeasureTables.Offsets(measured, "picture"))), "table", ConverterReadings.WordColumns);
        ConverterFit fit = ConverterFitter.Fit(WrittenLines.Of(table, settings.Machine), settings.Machine.Dac, true, table.PlaceOf, new DiagnosticSink());
        (double x, double y) = (Carry(fit.X), Carry(fit.Y));
        return (FormattableString.Invariant($"{table.Count} lines, carry of x {x:0.0} steps off (6), of y {y:0.0} (-5)"), Math.Abs(x - 6) < 1.5 && Math.Abs(y + 5) < 1.5);

        // Between two straight lines of one slope, the step at the middle code.
        static double Carry(OutputFit output)
        {
            OutputLevel[] near = [.. output.Levels.Where(level => Math.Abs(level.Code - 32768) < 3000)];
            var design = new double[near.Length, 3];
            for (int i = 0; i < near.Length; i++)
            {
                (design[i, 0], design[i, 1], design[i, 2]) = (1, (near[i].Code - 32768) / 3000.0, near[i].Code >= 32768 ? 1 : 0);
            }

            return LinearFit.Solve(design, [.. near.Select(level => level.DeviationSteps)]).Coefficients[2];
        }
    }, usualSeeds: 1);

    private static LabTruth Truth(long seed, LabFaults faults, double picoamperes = Picoamperes) => LabTruth.Draw(seed, new LabSetup { Faults = faults, CurrentPicoamperes = picoamperes, BlankerSlowness = 2 });

    private static bool IsNear(FitParameter found, double truth, double within) => Math.Abs(found.Value - truth) <= Math.Max(within, 3 * found.StandardError);

    private static MeasurementTable Table(string text) => MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "table");

    private void Run(Func<long, (string Found, bool IsRight)> loop, int usualSeeds = UsualSeeds)
    {
        var log = new StringBuilder();
        LabVerdict verdict = LabSeeds.Run(LabSeeds.Chosen(usualSeeds), seed =>
        {
            (string found, bool isRight) = loop(seed);
            log.Append(CultureInfo.InvariantCulture, $"seed {seed}: {found}\n");
            return isRight ? null : found;
        });
        console.WriteLine($"{verdict.Seeds} seeds, {verdict.Failed} missed\n{verdict.Report}{log}");
        Assert.True(verdict.Failed <= 0.02 * verdict.Seeds, verdict.Report);
    }
}
