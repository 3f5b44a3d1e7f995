using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill;

/// <summary>Between the lines of an area the beam stays on for a step of twice the wider of line pitch and the distance of points, and for no longer one.</summary>
public sealed class FigureReachTests
{
    private const int Rows = 10;
    private const int WidthUnits = 12_000;

    /// <summary>Free spacings in nanometres: a parallelogram whose lines start just so far beside each other, and one in which it is a grid step more.</summary>
    [Theory]
    [InlineData(10, 10, 1, 20)]
    [InlineData(40, 10, 1, 80)]
    [InlineData(10, 40, 1, 80)]
    [InlineData(10, 10, 3, 60)]
    [InlineData(40, 10, 3, 80)]
    [InlineData(40, 20, 3, 120)]
    public void The_beam_stays_on_for_twice_the_wider_spacing(int pitch, int step, int apart, int reach)
    {
        foreach (bool alongX in (bool[])[true, false])
        {
            LayerFill fill = FillCase.Options.AllLayers with
            {
                Direction = alongX ? FillDirection.X : FillDirection.Y,
                LinePitch = Spacing.FromNanometres(pitch),
                PointStep = Spacing.FromNanometres(step),
            };

            // A point of the full dose has 2.5 aC/nm²: so much of it that every point, or every third one, has 100 aC.
            FillOptions options = FillCase.With(fill) with { SmallestPointChargeCoulombs = 1e-16 };
            DoseFactor dose = apart == 1 ? DoseFactor.One : new DoseFactor((int)Math.Ceiling(1e6 * 100 / (2.5 * pitch * step) / apart));
            Assert.Equal(1, Jumps(options, dose, pitch, 10 * reach, alongX, step * apart));
            Assert.Equal(Rows, Jumps(options, dose, pitch, 10 * reach + 1, alongX, step * apart));
        }
    }

    /// <summary>Codes of 10 nm in x and 25 nm in y: it is the pitch across the lines and the step along them that count.</summary>
    [Theory]
    [InlineData(true, 1, 1, 25, 10, 50)]
    [InlineData(true, 1, 5, 25, 50, 100)]
    [InlineData(false, 1, 1, 10, 25, 50)]
    [InlineData(false, 5, 1, 50, 25, 100)]
    public void Codes_count_along_their_own_axis(bool alongX, int pitchCodes, int stepCodes, int pitch, int step, int reach)
    {
        LayerFill fill = FillCase.Options.AllLayers with
        {
            Direction = alongX ? FillDirection.X : FillDirection.Y,
            Placement = CodePlacement.Centre,
            LinePitch = Spacing.FromCodes(pitchCodes),
            PointStep = Spacing.FromCodes(stepCodes),
        };
        FillOptions options = FillCase.With(fill) with { Lattice = new CodeLattice(new CodeAxis(5_000_000, 10_000_000), new CodeAxis(2_500_000, 25_000_000)) };
        Assert.Equal(1, Jumps(options, DoseFactor.One, pitch, 10 * reach, alongX, step));
        Assert.Equal(Rows, Jumps(options, DoseFactor.One, pitch, 10 * (reach + step), alongX, step));
    }

    /// <summary>Jumps in a parallelogram of so many rows, each of which starts so many grid steps further than the last one.</summary>
    private static int Jumps(FillOptions options, DoseFactor dose, int pitch, int shift, bool alongX, int step)
    {
        int height = 10 * pitch * Rows, lean = shift * Rows;
        var shape = new Trapezoid(0, height, new GridEdge(new(0, 0), new(lean, height)), new GridEdge(new(WidthUnits, 0), new(WidthUnits + lean, height)));
        List<Stroke> strokes = FillCase.Fill(options, Figure.FromTrapezoid(0, dose, shape, isTransposed: !alongX));
        Stroke[] lines = [.. strokes.Where(stroke => stroke.Points > 0)];
        Assert.Equal(Rows, lines.Length);
        Assert.All(lines, line => Assert.Equal(WidthUnits / 10 / step, line.Points));
        return strokes.Count(stroke => stroke.Points == 0);
    }
}
