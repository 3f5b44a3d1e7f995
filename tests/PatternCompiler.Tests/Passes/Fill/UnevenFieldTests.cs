using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Tests.Passes.Scale;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill;

/// <summary>A field of 100 µm on 12 bits, codes of 24.4 nm, that is turned by 10 mrad: 500 nm or 20 codes at its edge.</summary>
public sealed class UnevenFieldTests
{
    private const double Turn = 0.01;
    private const double CodeNanometres = 100_000 / 4096.0;

    private static readonly DacMapping Turned = new(
        ScaleCase.Options.Dac with { Bits = 12 },
        new Deflection(100_000, 100_000, false, false, false, new AffineCalibration(1, -Turn, 0, Turn, 1, 0)));

    private static readonly FillOptions Plain = FillCase.With(new LayerFill(
        FillStrategy.Of("lines"), FillDirection.X, Spacing.FromCodes(1), Spacing.FromCodes(1), DoseFactor.One)) with
    {
        Lattice = Turned.ToLattice(),
    };

    private static readonly FillOptions Following = Plain with { UnevenField = Turned };

    // Centres of charge after scaling, where points really stand on codes, against those that were drawn.
    [Fact]
    public void Small_figures_keep_their_place_anywhere_in_the_field()
    {
        double worst = 0;
        double worstWithout = 0;
        var random = new Random(5);
        for (int i = 0; i < 60; i++)
        {
            (int x, int y) = (random.Next(-420_000, 420_000), random.Next(-420_000, 420_000));
            Figure figure = FillCase.Rectangle(x, y, 3_000 + random.Next(2_000), 3_000 + random.Next(2_000));
            worst = Math.Max(worst, PlaceError(Following, figure));
            worstWithout = Math.Max(worstWithout, PlaceError(Plain, figure));
        }

        Assert.InRange(worst, 0, 0.08);
        Assert.InRange(worstWithout, 0.2, 0.8);
    }

    [Fact]
    public void Large_figures_and_rasters_are_told_with_numbers()
    {
        var sink = new DiagnosticSink();
        FillCase.Fill(Following, sink, FillCase.Rectangle(0, 0, 2_000, 2_000), FillCase.Rectangle(50_000, 50_000, 100_000, 100_000));
        FillCase.Fill(
            Following with { AllLayers = Following.AllLayers with { Strategy = FillStrategy.Of("raster") } }, sink, FillCase.Rectangle(50_000, 50_000, 100_000, 100_000));

        // 10 mrad over 5 um to the corner are 50 nm, 2.05 codes; a quarter of a code is 12% of that.
        Assert.Equal(
            [
                "figure 1: warning PC1211: the tilt or distortion of the field moves codes by up to 2 codes across 1 figure, so that weights place their edges only to half a code, first figure 1; "
                + "divide figures with 'fracture: {largest_figure: 1 um}', or turn the drawing or the scan so that both are parallel",
                "warning PC1211: the tilt or distortion of the field moves codes by up to 2 codes within the raster of layer pattern, so that grey pixels place edges only to half a code; "
                + "write the layer with lines, or turn the drawing or the scan so that both are parallel",
            ],
            sink.Collected.Select(d => d.ToString()));
    }

    /// <summary>Distance of the centre of charge from the middle of a rectangle, in codes.</summary>
    private static double PlaceError(FillOptions options, Figure figure)
    {
        var records = new CollectingSink<RecordsHeader, DeflectionRecord>();
        ScaleOptions scale = ScaleCase.Options with { Dac = Turned.Dac, Deflection = Turned.Deflection, Clock = new Clock(1e12, 1, 1L << 50) };
        FillPass.Run(
            new FiguresDocument(new FiguresHeader(100, ["pattern"]), [figure]), options, new ScalePass(scale, records), new DiagnosticSink(), CancellationToken.None);
        double ticks = 0, x = 0, y = 0;
        var points = new LinePoint[1000];
        foreach (DeflectionRecord record in records.Items.Where(r => r.Points > 0))
        {
            foreach (LinePoint point in points.AsSpan(0, LinePoints.Expand(record, 0, points)))
            {
                (double placeX, double placeY) = Turned.PlaceOf(point.X, point.Y);
                (ticks, x, y) = (ticks + point.Ticks, x + placeX * point.Ticks, y + placeY * point.Ticks);
            }
        }

        double middleX = (figure.Shape.Left.Lower.X + figure.Shape.Right.Lower.X) / 20.0;
        double middleY = (figure.Shape.YBottom + figure.Shape.YTop) / 20.0;
        return Math.Max(Math.Abs(x / ticks - middleX), Math.Abs(y / ticks - middleY)) / CodeNanometres;
    }
}
