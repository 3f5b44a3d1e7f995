using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Cuts areas and lines where the background changes so much that one dose could not serve the whole figure. Cuts keep
/// the true edges, so the pieces cover exactly what the figure covered.
/// </summary>
internal sealed class FigureSplitter
{
    private readonly Func<double, double, double> background;
    private readonly double largestChange;
    private readonly int smallestPiece;
    private readonly List<Figure> pieces;

    /// <param name="background">Energy from long-range terms at a point, in grid steps.</param>
    /// <param name="largestChange">Largest difference of the background within one piece of dose factor 1.</param>
    /// <param name="smallestPiece">Pieces are not cut below this, in grid steps.</param>
    /// <param name="pieces">Takes the pieces.</param>
    public FigureSplitter(Func<double, double, double> background, double largestChange, int smallestPiece, List<Figure> pieces)
    {
        this.background = background;
        this.largestChange = largestChange;
        this.smallestPiece = Math.Max(1, smallestPiece);
        this.pieces = pieces;
    }

    /// <summary>Adds the figure, or what it is cut into.</summary>
    public void Add(in Figure figure)
    {
        switch (figure.Kind)
        {
            case FigureKind.Trapezoid:
                AddTrapezoid(figure);
                break;
            case FigureKind.Line:
                AddLine(figure);
                break;
            default:
                pieces.Add(figure);
                break;
        }
    }

    private void AddTrapezoid(in Figure figure)
    {
        Trapezoid shape = figure.Shape;
        double height = (double)shape.YTop - shape.YBottom;
        double left = Math.Max(GaussianEnergy.XAt(shape.Left, shape.YBottom), GaussianEnergy.XAt(shape.Left, shape.YTop));
        double right = Math.Min(GaussianEnergy.XAt(shape.Right, shape.YBottom), GaussianEnergy.XAt(shape.Right, shape.YTop));
        bool canCutHeight = height >= 2 * smallestPiece;
        bool canCutWidth = right - left >= 2 * smallestPiece;
        (double along, double across) = Changes(figure);
        if (Math.Max(along, across) <= LargestChange(figure) || (!canCutHeight && !canCutWidth))
        {
            pieces.Add(figure);
            return;
        }

        // Cut across the faster change; a slanted figure that cannot be cut upright is cut flat, which makes it steeper
        // over its height and in the end possible.
        if (canCutHeight && (!canCutWidth || along >= across))
        {
            int middle = (int)(((long)shape.YBottom + shape.YTop) / 2);
            AddTrapezoid(figure with { Shape = shape with { YTop = middle } });
            AddTrapezoid(figure with { Shape = shape with { YBottom = middle } });
        }
        else
        {
            int x = (int)Math.Round((left + right) / 2, MidpointRounding.AwayFromZero);
            var cut = new GridEdge(new GridPoint(x, shape.YBottom), new GridPoint(x, shape.YTop));
            AddTrapezoid(figure with { Shape = shape with { Right = cut } });
            AddTrapezoid(figure with { Shape = shape with { Left = cut } });
        }
    }

    /// <summary>Differences of the background over the figure's height and over its width.</summary>
    private (double Along, double Across) Changes(in Figure figure)
    {
        Trapezoid shape = figure.Shape;
        bool turned = figure.IsTransposed;
        double At(double x, double y) => turned ? background(y, x) : background(x, y);
        double middle = (shape.YBottom + (double)shape.YTop) / 2;
        double Centre(double y) => (GaussianEnergy.XAt(shape.Left, y) + GaussianEnergy.XAt(shape.Right, y)) / 2;
        double low = At(Centre(shape.YBottom), shape.YBottom);
        double centre = At(Centre(middle), middle);
        double high = At(Centre(shape.YTop), shape.YTop);
        double left = At(GaussianEnergy.XAt(shape.Left, middle), middle);
        double right = At(GaussianEnergy.XAt(shape.Right, middle), middle);
        return (Spread(low, centre, high), Spread(left, centre, right));
    }

    private void AddLine(in Figure figure)
    {
        double dx = (double)figure.End.X - figure.Start.X;
        double dy = (double)figure.End.Y - figure.Start.Y;
        double length = Math.Sqrt(dx * dx + dy * dy);
        var middle = new GridPoint((int)(((long)figure.Start.X + figure.End.X) >> 1), (int)(((long)figure.Start.Y + figure.End.Y) >> 1));
        double change = Spread(
            background(figure.Start.X, figure.Start.Y), background(middle.X, middle.Y), background(figure.End.X, figure.End.Y));
        if (change <= LargestChange(figure) || length < 2 * smallestPiece)
        {
            pieces.Add(figure);
            return;
        }

        AddLine(Figure.FromLine(figure.Layer, figure.DoseFactor, figure.Start, middle));
        AddLine(Figure.FromLine(figure.Layer, figure.DoseFactor, middle, figure.End));
    }

    /// <summary>A figure drawn at twice the dose bears twice the change.</summary>
    private double LargestChange(in Figure figure) => largestChange * figure.DoseFactor.Value;

    private static double Spread(double a, double b, double c) => Math.Max(a, Math.Max(b, c)) - Math.Min(a, Math.Min(b, c));
}
