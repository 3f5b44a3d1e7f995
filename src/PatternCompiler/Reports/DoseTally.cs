using System.Collections.Immutable;
using PatternCompiler.Checks;
using PatternCompiler.Geometry;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;

namespace PatternCompiler.Reports;

/// <summary>Adds up, layer by layer, the doses that figures ask for and the charge of the strokes made from them.</summary>
internal sealed class DoseTally : IDocumentSink<StrokesHeader, Stroke>
{
    private const double CoulombsPerZeptocoulomb = 1e-21;
    private readonly FiguresDocument figures;
    private readonly FillOptions options;
    private readonly Dictionary<(int Layer, FigureKind Kind), Sum> sums = [];

    /// <summary>Takes the figures.</summary>
    /// <param name="figures">Figures as they are filled.</param>
    /// <param name="options">Base doses.</param>
    public DoseTally(FiguresDocument figures, FillOptions options)
    {
        this.figures = figures;
        this.options = options;
        foreach (Figure figure in figures.Figures)
        {
            Sum sum = SumOf(figure);
            sum.Figures++;
            sum.Amount += AmountOf(figure);
            double dose = BaseDose(figure) * figure.DoseFactor.Value;
            sum.Lowest = Math.Min(sum.Lowest, dose);
            sum.Highest = Math.Max(sum.Highest, dose);
        }
    }

    /// <inheritdoc/>
    public void Begin(StrokesHeader header)
    {
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items)
    {
        foreach (ref readonly Stroke stroke in items)
        {
            if (stroke.Points > 0)
            {
                Sum sum = SumOf(figures.Figures[stroke.Figure]);
                sum.Points += stroke.Points;
                sum.Charge += stroke.ChargeZeptocoulombs;
            }
        }
    }

    /// <inheritdoc/>
    public void End()
    {
    }

    /// <summary>One row for each kind of figure on each layer, in the layers' order.</summary>
    public ImmutableArray<DoseRow> ToRows() =>
    [
        .. sums.OrderBy(pair => pair.Key.Layer).ThenBy(pair => pair.Key.Kind).Select(pair => new DoseRow(
            figures.Header.Layers[pair.Key.Layer],
            pair.Key.Kind,
            pair.Value.Figures,
            pair.Value.Amount,
            pair.Value.Lowest,
            pair.Value.Highest,
            pair.Value.Points,
            (double)pair.Value.Charge * CoulombsPerZeptocoulomb)),
    ];

    private Sum SumOf(in Figure figure)
    {
        (int, FigureKind) key = (figure.Layer, figure.Kind);
        if (!sums.TryGetValue(key, out Sum? sum))
        {
            sum = new Sum();
            sums.Add(key, sum);
        }

        return sum;
    }

    private double AmountOf(in Figure figure)
    {
        double metres = figures.Header.GridPicometres * 1e-12;
        return figure.Kind switch
        {
            FigureKind.Trapezoid => FigureCorners.AreaOf(figure.Shape) * metres * metres,
            FigureKind.Line => Length(figure.Start, figure.End) * metres,
            _ => 1,
        };
    }

    private static double Length(GridPoint from, GridPoint to)
    {
        double dx = (double)to.X - from.X;
        double dy = (double)to.Y - from.Y;
        return Math.Sqrt(dx * dx + dy * dy);
    }

    private double BaseDose(in Figure figure)
    {
        LayerDoses doses = options.DosesOf(options.LayerOf(figures.Header.Layers[figure.Layer]));
        double dose = figure.Kind switch
        {
            FigureKind.Trapezoid => doses.AreaCoulombsPerSquareMetre,
            FigureKind.Line => doses.LineCoulombsPerMetre,
            _ => doses.DotCoulombs,
        };
        return dose * doses.Factor;
    }

    private sealed class Sum
    {
        public long Figures { get; set; }

        public double Amount { get; set; }

        public double Lowest { get; set; } = double.PositiveInfinity;

        public double Highest { get; set; }

        public long Points { get; set; }

        public Int128 Charge { get; set; }
    }
}

/// <summary>What one layer asks for and gets, areas, lines and dots each in a row of their own.</summary>
/// <param name="Layer">Name of the layer.</param>
/// <param name="Kind">Areas, lines or dots.</param>
/// <param name="Figures">Number of figures.</param>
/// <param name="Amount">Square metres of areas, metres of lines, number of dots.</param>
/// <param name="LowestDose">Smallest dose asked for, in C/m² for areas, C/m for lines, C for dots.</param>
/// <param name="HighestDose">Largest dose asked for.</param>
/// <param name="Points">Exposed points.</param>
/// <param name="ChargeCoulombs">Charge of all strokes.</param>
internal sealed record DoseRow(
    string Layer, FigureKind Kind, long Figures, double Amount, double LowestDose, double HighestDose, long Points, double ChargeCoulombs)
{
    /// <summary>Charge over extent: the dose that is written on average.</summary>
    public double MeanDose => Amount > 0 ? ChargeCoulombs / Amount : 0;
}
