using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fields;

/// <summary>Small patterns in write fields, on a grid of 0.1 nm.</summary>
internal static class FieldCase
{
    public const int Um = 10_000;

    /// <summary>Fields of 100 um that share 10 um.</summary>
    public static FieldOptions Options { get; } = new(100_000, 100_000, 10_000);

    public static FieldOptions Tapered { get; } = Options with { Seam = SeamKind.Taper, SeamWidthNanometres = 2000 };

    public static DividedPattern Divide(FiguresDocument figures, FieldOptions? options = null) =>
        FieldPass.Run(figures, options ?? Options, new DiagnosticSink(), CancellationToken.None);

    public static FiguresDocument Document(params IEnumerable<Figure> figures) => new(new FiguresHeader(100, ["bars", "marks"]), [.. figures]);

    public static FiguresDocument Fracture(ContourSet rings, FractureDirection direction = FractureDirection.Horizontal) => FracturePass.Run(
        new FlatLayout(100, ["bars"], [new FlatLayer(0, DoseFactor.One, rings, [], [])]),
        new FractureOptions { Direction = direction },
        new DiagnosticSink(),
        CancellationToken.None);

    /// <summary>An upright rectangle in micrometres.</summary>
    public static Figure Rectangle(double left, double bottom, double right, double top, int layer = 0) => Figure.FromTrapezoid(
        layer, DoseFactor.One, Trapezoid.FromRectangle((int)(left * Um), (int)(bottom * Um), (int)(right * Um), (int)(top * Um)));

    /// <summary>The figures of all fields at their places in the pattern.</summary>
    public static List<Figure> Together(DividedPattern divided)
    {
        List<Figure> all = [];
        for (int i = 0; i < divided.Figures.Length; i++)
        {
            GridPoint centre = divided.Plan.Fields[i].Centre;
            all.AddRange(divided.Figures[i].Figures.Select(figure => FigureFrame.From(figure, new GridPoint(-centre.X, -centre.Y))));
        }

        return all;
    }

    /// <summary>The sum of dose factor times twice the area over all trapezoids, in millionths, without rounding.</summary>
    public static Fraction DosedArea(IEnumerable<Figure> figures)
    {
        Fraction sum = (Int128)0;
        foreach (IGrouping<int, Figure> group in figures.Where(f => f.Kind == FigureKind.Trapezoid).GroupBy(f => f.DoseFactor.Millionths))
        {
            Fraction area = ExactArea.Twice(group.Select(figure => figure.Shape).ToArray());
            sum += new Fraction(area.Numerator * group.Key, area.Denominator);
        }

        return sum;
    }

    /// <summary>Fails unless every figure lies within the reach of its field.</summary>
    public static void AssertWithinReach(DividedPattern divided)
    {
        (int halfWidth, int halfHeight) = (divided.Plan.HalfWidth, divided.Plan.HalfHeight);
        foreach (GridBox box in divided.Figures.SelectMany(document => document.Figures).Select(figure => FigureFrame.BoxOf(figure)))
        {
            Assert.True(box.XLeft >= -halfWidth && box.XRight <= halfWidth && box.YBottom >= -halfHeight && box.YTop <= halfHeight, $"{box} is beyond reach");
        }
    }
}
