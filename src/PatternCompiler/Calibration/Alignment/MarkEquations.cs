namespace PatternCompiler.Calibration.Alignment;

/// <summary>
/// The marks of a layer and one model as equations, two a mark, each divided by its standard error. Coordinates are counted from the
/// marks' middle in units of their spread, so that no column is much larger than another.
/// </summary>
internal sealed class MarkEquations
{
    private readonly AlignmentMark[] marks;
    private readonly double[,] design;
    private readonly double middleX;
    private readonly double middleY;
    private readonly double spread;
    private readonly AlignmentModel model;

    /// <summary>Fits a model to marks that were found.</summary>
    public MarkEquations(IReadOnlyList<AlignmentMark> used, AlignmentModel model)
    {
        marks = [.. used];
        this.model = model;
        middleX = marks.Average(mark => mark.WantedX);
        middleY = marks.Average(mark => mark.WantedY);
        spread = Math.Max(1, Math.Sqrt(marks.Average(mark => Square(mark.WantedX - middleX) + Square(mark.WantedY - middleY))));
        design = new double[2 * marks.Length, ParametersOf(model)];
        var found = new double[2 * marks.Length];
        for (int i = 0; i < marks.Length; i++)
        {
            AlignmentMark mark = marks[i];
            (double u, double v) = ((mark.WantedX - middleX) / spread, (mark.WantedY - middleY) / spread);
            Fill(2 * i, model switch
            {
                AlignmentModel.Shift => [1, 0],
                AlignmentModel.Similarity => [1, 0, u, -v],
                _ => [1, 0, u, v, 0, 0],
            }, mark.ErrorX);
            Fill(2 * i + 1, model switch
            {
                AlignmentModel.Shift => [0, 1],
                AlignmentModel.Similarity => [0, 1, v, u],
                _ => [0, 1, 0, 0, u, v],
            }, mark.ErrorY);
            bool isShift = model == AlignmentModel.Shift;
            found[2 * i] = (mark.FoundX - (isShift ? mark.WantedX - middleX : 0)) / mark.ErrorX;
            found[2 * i + 1] = (mark.FoundY - (isShift ? mark.WantedY - middleY : 0)) / mark.ErrorY;
        }

        Fit = LinearFit.Solve(design, found);
        SumOfSquares = Fit.Residuals.Sum(Square);
    }

    /// <summary>The fit.</summary>
    public LinearFit Fit { get; }

    /// <summary>Of what it leaves, in standard errors.</summary>
    public double SumOfSquares { get; }

    /// <summary>Numbers that a model has.</summary>
    public static int ParametersOf(AlignmentModel model) => model switch { AlignmentModel.Shift => 2, AlignmentModel.Similarity => 4, _ => 6 };

    /// <summary>The linear part by rows, then the offset at the drawing's origin, of some coefficients.</summary>
    public (double XX, double XY, double YX, double YY, double OffsetX, double OffsetY) Map(ReadOnlySpan<double> coefficients)
    {
        (double xx, double xy, double yx, double yy) = model switch
        {
            AlignmentModel.Shift => (1.0, 0.0, 0.0, 1.0),
            AlignmentModel.Similarity => (coefficients[2] / spread, -coefficients[3] / spread, coefficients[3] / spread, coefficients[2] / spread),
            _ => (coefficients[2] / spread, coefficients[3] / spread, coefficients[4] / spread, coefficients[5] / spread),
        };
        return (xx, xy, yx, yy, coefficients[0] - xx * middleX - xy * middleY, coefficients[1] - yx * middleX - yy * middleY);
    }

    /// <summary>Found less fitted, in nanometres.</summary>
    public (double X, double Y) Residual(int mark) => (Fit.Residuals[2 * mark] * marks[mark].ErrorX, Fit.Residuals[2 * mark + 1] * marks[mark].ErrorY);

    /// <summary>Found less what a fit to all other marks says, in nanometres; not numbers for a mark that the fit cannot do without.</summary>
    public (double X, double Y) LeaveOneOut(int mark)
    {
        (double x, double y) = Released(mark);
        return (x * marks[mark].ErrorX, y * marks[mark].ErrorY);
    }

    /// <summary>By how much the sum of squares falls if a mark is left out; not a number where nothing else holds the fit.</summary>
    public double DropWithout(int mark)
    {
        (double x, double y) = Released(mark);
        return Fit.Residuals[2 * mark] * x + Fit.Residuals[2 * mark + 1] * y;
    }

    // (1 - H)^-1 times the residuals of the mark's two equations, where H is their block of the matrix that makes fitted values of measured ones.
    private (double X, double Y) Released(int mark)
    {
        const double Held = 1e-9;
        (double xx, double xy, double yy) = (1 - Leverage(2 * mark, 2 * mark), -Leverage(2 * mark, 2 * mark + 1), 1 - Leverage(2 * mark + 1, 2 * mark + 1));
        double determinant = xx * yy - xy * xy;
        (double x, double y) = (Fit.Residuals[2 * mark], Fit.Residuals[2 * mark + 1]);
        return determinant > Held ? ((yy * x - xy * y) / determinant, (xx * y - xy * x) / determinant) : (double.NaN, double.NaN);
    }

    private double Leverage(int first, int second)
    {
        double sum = 0;
        for (int i = 0; i < design.GetLength(1); i++)
        {
            for (int j = 0; j < design.GetLength(1); j++)
            {
                sum += design[first, i] * Fit.UnitCovariance(i, j) * design[second, j];
            }
        }

        return sum;
    }

    private void Fill(int row, ReadOnlySpan<double> values, double error)
    {
        for (int i = 0; i < values.Length; i++)
        {
            design[row, i] = values[i] / error;
        }
    }

    private static double Square(double value) => value * value;
}
