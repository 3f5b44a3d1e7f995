using System.Globalization;
using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Looks;
using PatternCompiler.Limits;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Tests.Jobs;

/// <summary>Which of several crosses in a window tells where the layer lies, and how well; pictures are painted here.</summary>
public sealed class MarkSearchTests
{
    private const double Step = 50;
    private const int Points = 120;

    // Half of a bar's length and half of its width.
    private const double Long = 900, Thin = 200;

    private static readonly LookMark Mark = new("m", 30_000, -12_000);

    /// <summary>
    /// Five crosses in one window, of which the four outer ones were printed 100 nm further out: the one nearest to the mark counts, whichever side the others
    /// are on and wherever in the window the mark's own cross lies.
    /// </summary>
    [Theory]
    [InlineData(0, 0, 0, 0)]
    [InlineData(100, 60, 150, -90)]
    [InlineData(-100, 60, -150, 90)]
    [InlineData(60, -100, 0, 250)]
    [InlineData(-60, -100, -250, 0)]
    public void The_cross_nearest_to_the_mark_tells_where_the_layer_lies(double drawnX, double drawnY, double offX, double offY)
    {
        (double X, double Y)[] drawn = [(drawnX, drawnY), (-2000, 0), (2000, 0), (0, -2000), (0, 2000)];
        (double X, double Y)[] printed = [.. drawn.Select((at, i) => (at.X + offX + (i == 0 ? 0 : 100 * Math.Sign(at.X)), at.Y + offY + (i == 0 ? 0 : 100 * Math.Sign(at.Y))))];
        AlignmentMark found = Assert.Single(Search(drawn, printed));
        Assert.Equal(("m", 30_000.0, -12_000.0), (found.Name, Math.Round(found.WantedX, 6), Math.Round(found.WantedY, 6)));
        Assert.Equal(offX, found.FoundX - found.WantedX, 6.0);
        Assert.Equal(offY, found.FoundY - found.WantedY, 6.0);
    }

    /// <summary>
    /// Of a cross without one arm, two sides of which would tell where it lies across. Edges that face along x are 4·700 nm beside arms and 2·400 nm at ends
    /// without it, and 1400 nm fewer then; of those that face along y an end of 400 nm is lost. Errors go with the roots: √(3200/2200) apart, for an arm along y.
    /// </summary>
    [Theory]
    [InlineData(0, 1)]
    [InlineData(0, -1)]
    [InlineData(1, 0)]
    [InlineData(-1, 0)]
    public void A_lost_arm_makes_the_place_across_less_certain(int armX, int armY)
    {
        AlignmentMark found = Assert.Single(Search([(0, 0)], [(0, 0)], (x, y) => (armX * x) + (armY * y) > Thin));
        (double less, double more) = armX == 0 ? (found.ErrorY, found.ErrorX) : (found.ErrorX, found.ErrorY);
        Assert.InRange(more / less, 1.1, 1.32);
        Assert.Equal(0, found.FoundX - found.WantedX, 10.0);
        Assert.Equal(0, found.FoundY - found.WantedY, 10.0);
    }

    // Crosses, from the mark's place; where one 'isLost' the picture shows nothing.
    private static IReadOnlyList<AlignmentMark> Search((double X, double Y)[] drawn, (double X, double Y)[] printed, Func<double, double, bool>? isLost = null)
    {
        var look = new LookSettings([], "marks", [Mark], Step * Points, Step, 1e-6, 500, 1);
        var layout = new StringBuilder("layout 1\nunit nm\nlayer marks\n");
        foreach ((double x, double y) in drawn)
        {
            layout.Append(CultureInfo.InvariantCulture, $"rect on marks centre ({Mark.XNanometres + x}, {Mark.YNanometres + y}) size ({2 * Long}, {2 * Thin})\n");
            layout.Append(CultureInfo.InvariantCulture, $"rect on marks centre ({Mark.XNanometres + x}, {Mark.YNanometres + y}) size ({2 * Thin}, {2 * Long})\n");
        }

        var random = new Random(5);
        var values = new float[Points * Points];
        for (int i = 0; i < values.Length; i++)
        {
            (double x, double y) = LookExposure.PlaceOf(look, new LookMark("", 0, 0), i / Points, i % Points);
            double bright = isLost?.Invoke(x, y) == true ? 0 : printed.Max(at => Math.Max(Bar(x - at.X, Long) * Bar(y - at.Y, Thin), Bar(x - at.X, Thin) * Bar(y - at.Y, Long)));
            values[i] = (float)(100 + (60 * bright) + (4 * (random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5)));
        }

        var sink = new DiagnosticSink();
        LayoutDocument marks = LayoutReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(layout.ToString())), "marks.layout", DrawingOptions.Default, sink);
        string table = MarkSearch.Table(
            new LookPlan(look, FlattenPass.Run(marks, FlattenOptions.Default, sink, CancellationToken.None), 0, 0), [(new Micrograph(Points, Points, values, 0, Step), "window.pgm")], WorkLimits.Usual, sink, CancellationToken.None);
        Assert.Empty(sink.Collected);
        return MarkTable.Of(MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(table)), "table", MarkTable.WordColumns), 0);
    }

    // Edges blurred over a pixel.
    private static double Bar(double at, double half) => Math.Clamp(((half - Math.Abs(at)) / Step) + 0.5, 0, 1);
}
