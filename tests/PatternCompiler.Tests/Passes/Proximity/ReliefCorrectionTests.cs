using System.Globalization;
using System.Text.RegularExpressions;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Proximity;

/// <summary>Areas that are to leave a part of the film; positive resist, clearing at half of the base dose.</summary>
public sealed class ReliefCorrectionTests
{
    private const double Alpha = 40;
    private const double Beta = 2000;
    private const double Eta = 0.74;

    private static readonly ProximityOptions Options = new(
        SpreadFunction.TwoGaussian(Alpha, Beta, Eta), ProximityTarget.Edge, 0.005, 60, 100, 0, 50, 1000)
    {
        Relief = ["relief"],
        Response = new ResistResponse(ResistTone.Positive, 1, 4),
        AreaDoseCoulombsPerSquareMetre = 8,
    };

    // Closed form of the two-Gaussian model: an area that is small against the backscattered range gets none of it back, a large one all.
    [Theory]
    [InlineData(40_000, 1.0)]
    [InlineData(100, 1 + Eta)]
    public void An_area_gets_the_energy_of_a_large_one_at_its_dose(double sideNanometres, double correction)
    {
        SpreadFunction spread = sideNanometres < 1000 ? SpreadFunction.TwoGaussian(2, 20_000, Eta) : Options.Spread;
        int half = (int)(5 * sideNanometres);
        FiguresDocument corrected = Run([Rectangle(-half, -half, half, half, 0.25)], Options with { Spread = spread }).Figures;
        Figure middle = corrected.Figures.First(figure => figure.Shape.YTop >= 0 && figure.Shape.Right.Upper.X >= 0);
        Assert.Equal(0.25 * correction, middle.DoseFactor.Value, 0.004);
    }

    // The energy of all pieces by error functions, at places of a staircase with a cleared pad beside it.
    [Fact]
    public void Every_step_gets_the_energy_that_leaves_its_height()
    {
        double[] doses = [0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45];
        Figure[] steps = [.. doses.Select((dose, i) => Rectangle(i * 20_000, 0, (i + 1) * 20_000, 60_000, dose))];
        (FiguresDocument corrected, DiagnosticSink sink) = Run([.. steps, Rectangle(150_000, 0, 250_000, 60_000, 1)], Options);
        Assert.Empty(sink.Collected);
        for (int i = 0; i < doses.Length; i++)
        {
            foreach ((double x, double y) in ((double, double)[])[(0.3, 0.1), (0.5, 0.5), (0.7, 0.85)])
            {
                Assert.Equal(1, Energy(corrected, (i + x) * 2000, y * 6000) / doses[i], 0.01);
            }
        }

        // The pad is corrected as any area of dose factor 1: the middle of its side prints.
        Assert.Equal(0.5, Energy(corrected, 20_000, 6000), 0.01);
    }

    // The middle of a long strip of width w alone gets erf(w/2α) of its forward energy and next to nothing back.
    [Theory]
    [InlineData(60)]
    [InlineData(200)]
    public void A_narrow_area_alone_is_told_with_what_it_leaves(int widthNanometres)
    {
        (FiguresDocument corrected, DiagnosticSink sink) = Run([Rectangle(0, 0, 10 * widthNanometres, 100_000, 0.25)], Options);
        if (widthNanometres > 2.7 * Alpha)
        {
            Assert.Empty(sink.Collected);
            return;
        }

        Match told = Regex.Match(
            Assert.Single(sink.Collected).ToString(),
            @"^figure \d+ on layer relief at \((.*), (.*)\) um: warning PC1692: \d+ figures with heights stand alone and are so narrow that electrons which scatter forward leave them; the worst "
            + @"leaves (0\.\d+) of the film in its middle and not 0\.5; draw them wider than 108 nm, or give them another height and look with 'simulate'$");
        double Number(int group) => double.Parse(told.Groups[group].Value, CultureInfo.InvariantCulture);

        // The response goes from 1 to 4 C/m2, the base dose is 8.
        Assert.Equal(1 - (Math.Log(8 * Energy(corrected, 1000 * Number(1), 1000 * Number(2))) / Math.Log(4)), Number(3), 0.005);
    }

    // Narrow pieces side by side are wide together, at their border as well.
    [Fact]
    public void Narrow_rows_of_a_wide_relief_are_not_told_of()
    {
        (_, DiagnosticSink sink) = Run([.. Enumerable.Range(0, 60).Select(i => Rectangle(0, 200 * i, 60_000, 200 * (i + 1), 0.25))], Options);
        Assert.Empty(sink.Collected);
    }

    [Fact]
    public void Heights_that_neighbours_spoil_are_told_with_their_place()
    {
        Figure[] figures = [Rectangle(0, 0, 10_000, 10_000, 0.13), Rectangle(-100_000, -100_000, -500, 100_000, 2), Rectangle(10_500, -100_000, 110_000, 100_000, 2)];
        (_, DiagnosticSink sink) = Run(figures, Options);
        Assert.Equal(
            "figure 3 on layer relief at (0.0625, 0.4375) um: warning PC1692: 50 of 50 figures with heights miss their energy by more than 0.5%; the worst leaves 0.016 of the film and not 0.972; draw bright neighbours farther away, steps wider than the forward range, or allow more iterations or dose classes",
            sink.Collected.Single(told => told.Code.Id == "PC1692").ToString());
    }

    [Fact]
    public void What_is_to_stay_as_it_was_is_not_written()
    {
        FiguresDocument corrected = Run([Rectangle(0, 0, 10_000, 10_000, 0), Rectangle(20_000, 0, 30_000, 10_000, 0.3)], Options).Figures;
        Assert.Equal(DoseFactor.FromValue(0), corrected.Figures.Single(figure => figure.Shape.Left.Lower.X == 0).DoseFactor);
    }

    private static (FiguresDocument Figures, DiagnosticSink Sink) Run(Figure[] figures, ProximityOptions options)
    {
        var sink = new DiagnosticSink();
        return (ProximityPass.Run(new FiguresDocument(new FiguresHeader(100, ["relief"]), figures), options, sink, CancellationToken.None).Figures, sink);
    }

    private static double Energy(FiguresDocument document, double x, double y) => document.Figures.Sum(figure =>
    {
        Trapezoid shape = figure.Shape;
        double Part(double range) =>
            Between(0.1 * shape.Left.Lower.X - x, 0.1 * shape.Right.Lower.X - x, range) * Between(0.1 * shape.YBottom - y, 0.1 * shape.YTop - y, range);
        return figure.DoseFactor.Value * (Part(Alpha) + (Eta * Part(Beta))) / (1 + Eta);
    });

    private static double Between(double low, double high, double range) =>
        (MathNet.Numerics.SpecialFunctions.Erf(high / range) - MathNet.Numerics.SpecialFunctions.Erf(low / range)) / 2;

    /// <summary>Corners in grid steps of 0.1 nm.</summary>
    private static Figure Rectangle(int x0, int y0, int x1, int y1, double dose) =>
        Figure.FromTrapezoid(0, DoseFactor.FromValue(dose), Trapezoid.FromRectangle(x0, y0, x1, y1));
}
