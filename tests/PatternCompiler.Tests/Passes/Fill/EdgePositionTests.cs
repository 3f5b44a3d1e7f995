using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill;

/// <summary>
/// Where edges land with a coarse converter: the strokes are exposed with a Gaussian spot on a lattice of codes, and an
/// edge is where the dose crosses half of the plateau. Errors are three standard deviations over random edge positions,
/// in codes. Without weights the error is uniform within half a code, 3/√12 = 0.87.
/// </summary>
public sealed class EdgePositionTests
{
    private const double Code = 10e6;
    private const int Edges = 300;

    private static readonly CodeLattice Lattice = new(new CodeAxis(0, Code), new CodeAxis(0, Code));

    [Theory]
    [InlineData(1.0, 0.35)]
    [InlineData(1.5, 0.10)]
    [InlineData(2.0, 0.05)]
    [InlineData(2.35, 0.03)]
    [InlineData(3.0, 0.02)]
    [InlineData(4.0, 0.01)]
    public void Weights_hold_edges_to_hundredths_of_a_code(double spotInCodes, double limit)
    {
        double error = Error(Fill(Spacing.FromCodes(1), CodePlacement.Weighted), spotInCodes, acrossLines: true);
        Assert.InRange(error, 0, limit);
        Assert.InRange(Error(Fill(Spacing.FromCodes(1), CodePlacement.Weighted), spotInCodes, acrossLines: false), 0, limit);
        Assert.InRange(Error(Fill(Spacing.FromCodes(1), CodePlacement.Centre), spotInCodes, acrossLines: true), 0.8, 1.0);
    }

    [Theory]
    [InlineData(1.5)]
    [InlineData(2.0)]
    [InlineData(3.0)]
    public void Grey_pixels_hold_edges_too(double spotInCodes)
    {
        LayerFill raster = Fill(Spacing.FromCodes(1), CodePlacement.Automatic) with { Strategy = FillStrategy.Of("raster") };
        Assert.InRange(Error(raster, spotInCodes, acrossLines: true), 0, spotInCodes < 2 ? 0.13 : 0.065);
        Assert.InRange(Error(raster with { Placement = CodePlacement.Centre }, spotInCodes, acrossLines: true), 0.8, 1.0);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Uneven_spacing_with_weights_beats_rounding(bool acrossLines)
    {
        // Lines every 6.3 codes, a spot of twice that: half a code of rounding remains without weights.
        Spacing pitch = Spacing.FromNanometres(63);
        Assert.InRange(Error(Fill(pitch, CodePlacement.Weighted), 12.6, acrossLines, lines: 7), 0, 0.2);
    }

    [Fact]
    public void Staggered_passes_make_the_average_position_finer_than_a_code()
    {
        // Rounding is uniform within half a code; n passes that are shifted by 1/n of a code leave 1/n of it.
        LayerFill rounded = Fill(Spacing.FromNanometres(63), CodePlacement.Rounded);
        double once = Error(rounded, 12.6, acrossLines: true, lines: 7);
        double fourTimes = Error(rounded with { Passes = 4, StaggersPasses = true }, 12.6, acrossLines: true, lines: 7);
        Assert.InRange(once, 0.25, 1.0);
        Assert.InRange(fourTimes, 0, once / 3);
    }

    private static LayerFill Fill(Spacing spacing, CodePlacement placement) =>
        new(FillStrategy.Of("lines"), FillDirection.X, spacing, spacing, DoseFactor.One) { Placement = placement };

    private static double Error(LayerFill fill, double spotInCodes, bool acrossLines, int lines = 1)
    {
        var random = new Random(20_240_917);
        double sigma = spotInCodes * Code / 2.354820045;
        double sum = 0;
        for (int i = 0; i < Edges; i++)
        {
            int place = random.Next(0, 1000);
            int size = 1400 * lines + random.Next(0, 1000);
            const int Other = 1500;
            Figure figure = acrossLines ? FillCase.Rectangle(0, place, Other, size) : FillCase.Rectangle(place, 0, size, Other);
            List<Stroke> strokes = FillCase.Fill(FillCase.With(fill) with { Lattice = Lattice }, figure);
            double error = (Crossing(Profile(strokes, acrossLines), sigma, 2.5e-9 * Other * 1e5, place * 1e5) - place * 1e5) / Code;
            sum += error * error;
        }

        return 3 * Math.Sqrt(sum / Edges);
    }

    /// <summary>Charge by position along the axis of the edge.</summary>
    private static (double Place, double Charge)[] Profile(List<Stroke> strokes, bool alongY)
    {
        var points = new List<(double, double)>();
        foreach (Stroke s in strokes)
        {
            double from = alongY ? s.YFemtometres : s.XFemtometres;
            double to = alongY ? s.EndYFemtometres : s.EndXFemtometres;
            for (int i = 0; i < s.Points; i++)
            {
                // The converter rounds whatever it is given.
                double exact = s.Points == 1 ? from : from + i * (to - from) / (s.Points - 1);
                points.Add((Math.Floor(exact / Code + 0.5) * Code, (double)s.ChargeZeptocoulombs / s.Points));
            }
        }

        return [.. points];
    }

    private static double Crossing((double Place, double Charge)[] profile, double sigma, double plateau, double edge)
    {
        (double low, double high) = (edge - 3 * sigma - Code, edge + 3 * sigma + Code);
        for (int i = 0; i < 40; i++)
        {
            double at = (low + high) / 2;
            double dose = profile.Sum(p => p.Charge * Math.Exp(-(at - p.Place) * (at - p.Place) / (2 * sigma * sigma))) / (sigma * Math.Sqrt(2 * Math.PI));
            (low, high) = dose < plateau / 2 ? (at, high) : (low, at);
        }

        return (low + high) / 2;
    }
}
