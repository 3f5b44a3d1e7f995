using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.Prediction.Estimate;

public class FigureChargeTests
{
    private static readonly Blanker Ideal = new(true, true, 0, 0, 0);

    [Fact]
    public void Whole_ticks_are_within_half_a_tick_of_what_a_figure_asks()
    {
        var options = new ScaleOptions(
            "m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode),
            new Deflection(100_000, 100_000, false, false, false, AffineCalibration.Identity), new Clock(1e6, 1, 1_000_000),
            new Beam(1e-12, 10, 30_000), new SettleModel(0, 0, 0), WritesMarkers: true);
        var charge = new FigureCharge(new Beam(1e-12, 10, 30_000), Ideal);
        var scale = new ScalePass(options, charge.Records);
        Stroke[] strokes =
        [
            Stroke.Jump(0, 0, 0), Stroke.Line(0, 0, 0, 90_000_000, 0, 10, 25_300), Stroke.Line(0, 90_000_000, 9_000_000, 0, 9_000_000, 10, 25_300),
            Stroke.Jump(1, 0, 0), Stroke.Dot(1, 0, 0, 3_400),
        ];
        charge.Strokes.Begin(new StrokesHeader(["a"]));
        charge.Strokes.Write(strokes);
        charge.Strokes.End();
        scale.Begin(new StrokesHeader(["a"]));
        scale.Write(strokes);
        scale.End();
        FigureChargeEstimate estimate = charge.ToEstimate();
        Assert.Equal(2, estimate.Figures);
        Assert.Equal(1, estimate.WorstFigure);

        // A tick is 1e-18 C: 50.6 ticks become 51, 3.4 become 3.
        Assert.Equal(-0.4 / 3.4, estimate.WorstRelative, 1e-9);
        Assert.Equal(0.4, estimate.WorstTicks, 1e-9);
        Assert.Equal((0.4 / 50.6 + 0.4 / 3.4) / 2, estimate.MeanRelative, 1e-9);
    }

    [Fact]
    public void A_figure_that_gets_nothing_is_off_by_all_of_its_charge()
    {
        var charge = new FigureCharge(new Beam(1e-12, 10, 30_000), Ideal);
        charge.Strokes.Write([Stroke.Dot(2, 0, 0, 1_000_000)]);
        Assert.Equal(new FigureChargeEstimate(1, 1, -1, 2, 0), charge.ToEstimate());
    }

    [Fact]
    public void A_drifting_current_is_followed_and_the_records_are_those_of_scaling_alone()
    {
        var beam = new Beam(1e-12, 10, 30_000) { Later = new CurrentReading(1, 2e-12) };
        var options = new ScaleOptions(
            "m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode),
            new Deflection(100_000, 100_000, false, false, false, AffineCalibration.Identity), new Clock(1e6, 1, 1_000_000),
            beam, new SettleModel(0, 0, 0), WritesMarkers: false)
        {
            Blanker = new Blanker(true, true, 3e-6, 2e-6, 0) { IsCompensated = true },
        };
        Stroke[] strokes = [.. Enumerable.Range(0, 20).SelectMany(f => (Stroke[])
        [
            Stroke.Jump(f, 0, f * 1_000_000), Stroke.Line(f, 0, f * 1_000_000, 90_000_000, f * 1_000_000, 10, 123_456_789), Stroke.Dot(f, 0, f * 1_000_000, 98_765),
        ])];
        var alone = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var compared = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var charge = new FigureCharge(beam, options.Blanker!);
        BuildSettings settings = new(
            DefaultFiles.Job with { Markers = options.WritesMarkers },
            DefaultFiles.Machine with
            {
                Name = options.MachineName, Dac = options.Dac, Deflection = options.Deflection, Clock = options.Clock, Beam = beam, Settle = options.Settle, Blanker = options.Blanker!,
            },
            DefaultFiles.Process);
        foreach (IDocumentSink<StrokesHeader, Stroke> scale in (IDocumentSink<StrokesHeader, Stroke>[])[new ScalePass(options, alone), new RecordsStage(settings, compared, new DiagnosticSink(), charge)])
        {
            scale.Begin(new StrokesHeader(["a"]));
            scale.Write(strokes);
            scale.End();
        }

        Assert.Equal(alone.Items, compared.Items);
        Assert.Equal(20, charge.ToEstimate().Figures);

        // In ticks of the first current; at twice that current half a tick is one of them.
        Assert.InRange(charge.ToEstimate().WorstTicks, 0, 1.01);
    }

    /// <summary>Of several positions of the stage: all figures, their mean, and the worst of either sign with its own number.</summary>
    [Fact]
    public void Positions_are_told_together()
    {
        var none = new FigureChargeEstimate(0, 0, 0, -1, 0);
        var few = new FigureChargeEstimate(1, 0.1, 0.2, 3, 0.4);
        var many = new FigureChargeEstimate(4, 0.35, -0.5, 6, 0.3);
        Assert.Equal(few, few.With(none));
        Assert.Equal(few, none.With(few));
        Assert.Equal(none, none.With(none));
        foreach (FigureChargeEstimate all in new[] { few.With(many), many.With(few) })
        {
            Assert.Equal((5, -0.5, 6, 0.4), (all.Figures, all.WorstRelative, all.WorstFigure, all.WorstTicks));
            Assert.Equal(0.3, all.MeanRelative, 12);
        }

        Assert.Equal(3, few.With(few with { WorstFigure = 9, WorstRelative = -0.2 }).WorstFigure);
    }
}
