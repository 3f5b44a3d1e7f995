using PatternCompiler.Geometry;
using PatternCompiler.Limits;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Cuts areas and lines where the background changes so much that one dose could not serve the whole figure. Cuts keep
/// the true edges, so the pieces cover exactly what the figure covered.
/// </summary>
internal sealed class FigureSplitter
{
    // Of no edge's business: well inside, a dose that is off by some percent changes nothing but the far background.
    private const double InsideFactor = 8;

    private readonly Func<double, double, double> background;
    private readonly Func<Figure, double> largestChangeOf;
    private readonly int smallestPiece;
    private readonly double smallestArea;
    private readonly double smallestLength;
    private readonly Func<Figure, double> rimOf;
    private readonly Func<Figure, double> doseOf;
    private readonly List<Figure> pieces;
    private readonly WorkMeter meter;

    /// <param name="background">Energy from long-range terms at a point, in grid steps.</param>
    /// <param name="largestChangeOf">Largest difference of the background within one piece of a figure.</param>
    /// <param name="smallestPiece">Pieces are not cut below this, in grid steps.</param>
    /// <param name="smallestCharge">Pieces do not get less charge than this, as area of dose 1 in square grid steps.</param>
    /// <param name="linePerStep">Charge of a line per grid step, as area of dose 1.</param>
    /// <param name="rimOf">
    /// Pieces that are farther than this from the sides of their figure, in grid steps, bear a larger change; infinite where
    /// the inside matters as much as the edges.
    /// </param>
    /// <param name="doseOf">Dose of a figure before correction, 1 for the base dose.</param>
    /// <param name="pieces">Takes the pieces.</param>
    /// <param name="meter">Counts them.</param>
    public FigureSplitter(
        Func<double, double, double> background,
        Func<Figure, double> largestChangeOf,
        int smallestPiece,
        double smallestCharge,
        double linePerStep,
        Func<Figure, double> rimOf,
        Func<Figure, double> doseOf,
        List<Figure> pieces,
        WorkMeter meter)
    {
        this.meter = meter;
        this.background = background;
        this.largestChangeOf = largestChangeOf;
        this.smallestPiece = Math.Max(1, smallestPiece);
        smallestArea = smallestCharge;
        smallestLength = smallestCharge / linePerStep;
        this.rimOf = rimOf;
        this.doseOf = doseOf;
        this.pieces = pieces;
    }

    private void Put(in Figure piece)
    {
        meter.Add(1);
        pieces.Add(piece);
    }

    /// <summary>Adds the figure, or what it is cut into.</summary>
    public void Add(in Figure figure)
    {
        // What is not written bears any change.
        switch (doseOf(figure) > 0 ? figure.Kind : FigureKind.Dot)
        {
            case FigureKind.Trapezoid:
                AddTrapezoid(figure, figure.Shape);
                break;
            case FigureKind.Line:
                AddLine(figure);
                break;
            default:
                Put(figure);
                break;
        }
    }

    private void AddTrapezoid(in Figure figure, in Trapezoid whole)
    {
        Trapezoid shape = figure.Shape;
        double height = (double)shape.YTop - shape.YBottom;
        double left = Math.Max(GaussianEnergy.XAt(shape.Left, shape.YBottom), GaussianEnergy.XAt(shape.Left, shape.YTop));
        double right = Math.Min(GaussianEnergy.XAt(shape.Right, shape.YBottom), GaussianEnergy.XAt(shape.Right, shape.YTop));
        int middle = (int)(((long)shape.YBottom + shape.YTop) / 2);
        int centre = (int)Math.Round((left + right) / 2, MidpointRounding.AwayFromZero);
        bool canCutHeight = height >= 2 * smallestPiece && HasCharge(Below(shape, middle), figure) && HasCharge(Above(shape, middle), figure);
        bool canCutWidth = right - left >= 2 * smallestPiece && HasCharge(LeftOf(shape, centre), figure) && HasCharge(RightOf(shape, centre), figure);
        if (!canCutHeight && !canCutWidth)
        {
            Put(figure);
            return;
        }

        (double along, double across) = Changes(figure);
        double largest = largestChangeOf(figure) * (IsInside(shape, whole, rimOf(figure)) ? InsideFactor : 1);
        if (Math.Max(along, across) <= largest)
        {
            Put(figure);
            return;
        }

        // Cut across the faster change; a slanted figure that cannot be cut upright is cut flat, which makes it steeper
        // over its height and in the end possible.
        if (canCutHeight && (!canCutWidth || along >= across))
        {
            AddTrapezoid(figure with { Shape = Below(shape, middle) }, whole);
            AddTrapezoid(figure with { Shape = Above(shape, middle) }, whole);
        }
        else
        {
            AddTrapezoid(figure with { Shape = LeftOf(shape, centre) }, whole);
            AddTrapezoid(figure with { Shape = RightOf(shape, centre) }, whole);
        }
    }

    private static bool IsInside(in Trapezoid piece, in Trapezoid whole, double rim) =>
        piece.YBottom - (double)whole.YBottom > rim && whole.YTop - (double)piece.YTop > rim
        && Away(whole.Left, piece.Left, piece, 1) > rim && Away(whole.Right, piece.Right, piece, -1) > rim;

    /// <summary>Distance of a piece's side from the line of its figure's side.</summary>
    private static double Away(in GridEdge outer, in GridEdge inner, in Trapezoid piece, int sign)
    {
        double dx = (double)outer.Upper.X - outer.Lower.X;
        double dy = (double)outer.Upper.Y - outer.Lower.Y;
        double gap = Math.Min(
            sign * (GaussianEnergy.XAt(inner, piece.YBottom) - GaussianEnergy.XAt(outer, piece.YBottom)),
            sign * (GaussianEnergy.XAt(inner, piece.YTop) - GaussianEnergy.XAt(outer, piece.YTop)));
        return gap * dy / Math.Sqrt(dx * dx + dy * dy);
    }

    private static Trapezoid Below(in Trapezoid shape, int y) => shape with { YTop = y };

    private static Trapezoid Above(in Trapezoid shape, int y) => shape with { YBottom = y };

    private static Trapezoid LeftOf(in Trapezoid shape, int x) => shape with { Right = Upright(shape, x) };

    private static Trapezoid RightOf(in Trapezoid shape, int x) => shape with { Left = Upright(shape, x) };

    private static GridEdge Upright(in Trapezoid shape, int x) => new(new GridPoint(x, shape.YBottom), new GridPoint(x, shape.YTop));

    /// <summary>The tip of a wedge may be as high as a piece must be, and still hold next to nothing.</summary>
    private bool HasCharge(in Trapezoid piece, in Figure figure)
    {
        double middle = (piece.YBottom + (double)piece.YTop) / 2;
        double width = GaussianEnergy.XAt(piece.Right, middle) - GaussianEnergy.XAt(piece.Left, middle);
        return width * ((double)piece.YTop - piece.YBottom) * doseOf(figure) >= smallestArea;
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
        if (change <= largestChangeOf(figure) || length < 2 * Math.Max(smallestPiece, smallestLength / doseOf(figure)))
        {
            Put(figure);
            return;
        }

        AddLine(Figure.FromLine(figure.Layer, figure.DoseFactor, figure.Start, middle));
        AddLine(Figure.FromLine(figure.Layer, figure.DoseFactor, middle, figure.End));
    }

    private static double Spread(double a, double b, double c) => Math.Max(a, Math.Max(b, c)) - Math.Min(a, Math.Min(b, c));
}
