using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill;

/// <summary>Documents, settings and generators that the fill tests share. Grid 0.1 nm, 1 layer.</summary>
internal static class FillCase
{
    /// <summary>250 µC/cm², 1 nC/cm, 1 fC, 10 nm by 10 nm back and forth along x.</summary>
    public static FillOptions Options { get; } = new(
        2.5,
        1e-7,
        1e-15,
        new LayerFill(FillStrategy.Of("lines"), FillDirection.X, Spacing.FromNanometres(10), Spacing.FromNanometres(10), DoseFactor.One));

    /// <summary>Any trapezoid that a fracture can make: edges that meet at most at its corners, as wide as 2 µm.</summary>
    public static Gen<Figure> Trapezoids { get; } =
        from yBottom in Gen.Int[-50_000, 50_000]
        from height in Gen.Int[1, 10_000]
        from below in Gen.Int[0, 5_000]
        from above in Gen.Int[0, 5_000]
        from xBottom in Gen.Int[-50_000, 50_000]
        from leftLean in Gen.Int[-8_000, 8_000]
        from bottomWidth in Gen.Int[0, 12_000]
        from topWidth in Gen.Int[0, 12_000]
        from transposed in Gen.Bool
        from dose in Gen.Int[200_000, 3_000_000]
        let shape = Shape(yBottom, height, below, above, xBottom, leftLean, bottomWidth, topWidth)
        where shape is not null
        select Figure.FromTrapezoid(0, new DoseFactor(dose), shape.Value, transposed);

    public static FillOptions With(LayerFill fill) => Options with { AllLayers = fill };

    public static List<Stroke> Fill(FillOptions options, params Figure[] figures) => Fill(options, new DiagnosticSink(), figures);

    public static List<Stroke> Fill(FillOptions options, DiagnosticSink sink, params Figure[] figures)
    {
        var output = new CollectingSink<StrokesHeader, Stroke>();
        FillPass.Run(new FiguresDocument(new FiguresHeader(100, ["pattern"]), figures), options, output, sink, CancellationToken.None);
        Assert.True(output.HasEnded);
        return output.Items;
    }

    public static Figure Rectangle(int x, int y, int width, int height) =>
        Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(x, y, x + width, y + height));

    /// <summary>Area in square grid steps by exact rational arithmetic on the corners: an independent reckoning.</summary>
    public static decimal AreaOf(Trapezoid t)
    {
        decimal Width(int y) => At(t.Right, y) - At(t.Left, y);
        return (Width(t.YBottom) + Width(t.YTop)) / 2 * (t.YTop - t.YBottom);

        static decimal At(GridEdge e, int y) =>
            e.Lower.X + (decimal)(e.Upper.X - e.Lower.X) * (y - e.Lower.Y) / (e.Upper.Y - e.Lower.Y);
    }

    private static Trapezoid? Shape(
        int yBottom, int height, int below, int above, int xBottom, int lean, int bottomWidth, int topWidth)
    {
        if (bottomWidth + topWidth == 0)
        {
            return null;
        }

        int yTop = yBottom + height;
        var left = new GridEdge(new(xBottom, yBottom - below), new(xBottom + lean, yTop + above));
        var right = new GridEdge(new(xBottom + bottomWidth, yBottom - below), new(xBottom + lean + topWidth, yTop + above));
        return new Trapezoid(yBottom, yTop, left, right);
    }
}
