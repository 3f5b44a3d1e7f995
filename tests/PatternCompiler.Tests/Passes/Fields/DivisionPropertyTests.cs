using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Tests.Geometry;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fields;

public sealed class DivisionPropertyTests
{
    private static readonly Gen<FieldOptions> AnyOptions = Gen.Select(
        Gen.Int[30, 120], Gen.Int[30, 120], Gen.Int[3, 14], Gen.Enum<StageOrder>(), Gen.OneOf(Gen.Const(0.0), Gen.Const(1.0), Gen.Const(1000.0))).Select(
        (width, height, margin, order, step) => new FieldOptions(width * 1000, height * 1000, margin * 1000) { Order = order, StageStepNanometres = step });

    // Corners on whole 0.1 um keep sides from being so nearly parallel to the fields' edges that a seam in a margin of 3 um bends them.
    private static readonly Gen<ContourSet> AnyRings = Gen.OneOf(RandomRings.Any(1500, 3, 9), RandomRings.Any(300, 4, 12), RandomRings.Rectilinear(900, 6))
        .Select(rings => Enlarged(rings, 1000));

    [Fact]
    public void The_fields_hold_exactly_the_figures_and_nothing_beyond_reach() =>
        Gen.Select(AnyRings, AnyOptions, Gen.OneOf(Gen.Const(FractureDirection.Horizontal), Gen.Const(FractureDirection.Vertical))).Sample(
            (rings, options, direction) =>
            {
                if (Whole(rings, direction) is not FiguresDocument whole)
                {
                    return;
                }

                DividedPattern divided = FieldCase.Divide(whole, options);
                List<Figure> together = FieldCase.Together(divided);
                Assert.Equal(FieldCase.DosedArea(whole.Figures), FieldCase.DosedArea(together));
                FieldCase.AssertWithinReach(divided);
                Trapezoid[] shapes = [.. together.Select(figure => figure.Shape)];
                if (shapes.Length < 150)
                {
                    RegionChecker.AssertDisjoint(shapes);
                }
            },
            iter: Iterations.Usually(150));

    /// <summary>Exactly, but for sides so nearly parallel to a seam that what the strip leaves of the margin is no room to cut them between grid points.</summary>
    [Fact]
    public void Tapered_doses_add_up_exactly() =>
        Gen.Select(AnyRings, AnyOptions, Gen.Int[1, 24], Gen.Int[100, 2900]).Sample(
            (rings, options, steps, width) =>
            {
                if (Whole(rings, FractureDirection.Horizontal) is not FiguresDocument whole)
                {
                    return;
                }

                var sink = new DiagnosticSink();
                DividedPattern divided = FieldPass.Run(
                    whole, options with { Seam = SeamKind.Taper, SeamWidthNanometres = width, TaperSteps = steps }, sink, CancellationToken.None);
                double moved = FieldCase.DosedArea(FieldCase.Together(divided)).ToDouble() - FieldCase.DosedArea(whole.Figures).ToDouble();
                double room = ((options.MarginNanometres - width) * FieldCase.Um / 2000) - 2;
                double bendable = whole.Figures.Sum(figure => figure.DoseFactor.Millionths * (MostRun(figure, figure.Shape.Left, room) + MostRun(figure, figure.Shape.Right, room)));
                if (sink.Collected.Any(told => told.Code == FieldCodes.Bent))
                {
                    // Half a grid step along each side that may be bent, doubled as areas are.
                    Assert.InRange(Math.Abs(moved), 0, bendable);
                }
                else
                {
                    Assert.Equal(FieldCase.DosedArea(whole.Figures), FieldCase.DosedArea(FieldCase.Together(divided)));
                }

                FieldCase.AssertWithinReach(divided);
            },
            iter: Iterations.Usually(100));

    // How far a side that runs further over a grid step of height than there is room does so at most, along the figure.
    private static double MostRun(in Figure figure, GridEdge side, double room)
    {
        double run = Math.Ceiling(Math.Abs((double)side.Upper.X - side.Lower.X) / (side.Upper.Y - side.Lower.Y));
        return run > room ? run * (figure.Shape.YTop - figure.Shape.YBottom) : 0;
    }

    [Fact]
    public void What_is_no_larger_than_the_margin_is_written_whole() =>
        Gen.Select(Gen.Int[-250_000, 250_000], Gen.Int[-250_000, 250_000], Gen.Int[1, 10_000], Gen.Int[1, 10_000]).Array[1, 60].Sample(
            squares =>
            {
                Figure[] drawn =
                [
                    .. squares.Select((s, i) => FieldCase.Rectangle(0, 0, 1, 1) with
                    {
                        Layer = i % 2,
                        Shape = Trapezoid.FromRectangle(10 * s.Item1, 10 * s.Item2, 10 * (s.Item1 + s.Item3), 10 * (s.Item2 + s.Item4)),
                    }),
                ];
                DividedPattern divided = FieldCase.Divide(FieldCase.Document(drawn));
                Assert.Equal(0, divided.Cut);
                Assert.Equal(
                    drawn.Select(figure => figure.ToString()).Order(),
                    FieldCase.Together(divided).Select(figure => figure.ToString()).Order());
                FieldCase.AssertWithinReach(divided);
            },
            iter: Iterations.Usually(100));

    [Fact]
    public void Lines_are_divided_into_stretches_of_the_same_length() =>
        Gen.Select(Gen.Int[-150, 150], Gen.Int[-150, 150], Gen.Int[-150, 150], Gen.Int[-150, 150]).Array[1, 20].Sample(
            ends =>
            {
                // Between whole micrometres every line has grid points enough to be cut without rounding.
                Figure[] lines =
                [
                    .. ends.Where(e => e.Item1 != e.Item3 || e.Item2 != e.Item4).Select(e => Figure.FromLine(
                        0, DoseFactor.One, new(e.Item1 * FieldCase.Um, e.Item2 * FieldCase.Um), new(e.Item3 * FieldCase.Um, e.Item4 * FieldCase.Um))),
                ];
                if (lines.Length == 0)
                {
                    return;
                }

                DividedPattern divided = FieldCase.Divide(FieldCase.Document(lines));
                Assert.Equal(lines.Sum(LengthOf), FieldCase.Together(divided).Sum(LengthOf), 1e-3);
                FieldCase.AssertWithinReach(divided);
            },
            iter: Iterations.Usually(100));

    private static double LengthOf(Figure line) => Math.Sqrt(Math.Pow((double)line.End.X - line.Start.X, 2) + Math.Pow((double)line.End.Y - line.Start.Y, 2));

    private static FiguresDocument? Whole(ContourSet rings, FractureDirection direction)
    {
        ContourSet region = RegionBoolean.Merge(rings);
        return region.Count == 0 ? null : FieldCase.Fracture(region, direction);
    }

    private static ContourSet Enlarged(ContourSet rings, int factor)
    {
        var builder = new ContourSetBuilder();
        for (int i = 0; i < rings.Count; i++)
        {
            builder.AddRing(rings[i].ToArray().Select(p => new GridPoint(p.X * factor, p.Y * factor)).ToArray());
        }

        return builder.ToContourSet();
    }
}
