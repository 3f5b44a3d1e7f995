namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Sums an area's dose over a range of v, weighted with functions that are linear piece by piece, and reduces it to an
/// interval of even dose with the same charge and the same centroid along the row.
/// </summary>
internal struct RowMoments
{
    private readonly double reference;
    private double weight;
    private double first;
    private double second;
    private double across;

    /// <param name="reference">A place along the row near the area; keeps differences of squares exact.</param>
    public RowMoments(double reference)
    {
        this.reference = reference;
    }

    /// <summary>Area under the weight in square femtometres.</summary>
    public readonly double Area => first;

    /// <summary>Weighted mean of v.</summary>
    public readonly double CentreAcross => across / first;

    /// <summary>Adds a piece; the weight is linear between its two ends.</summary>
    public void Add(in ShapePiece piece, double weight0, double weight1)
    {
        // All integrands are cubic at most: Simpson's rule is exact.
        double height = piece.V1 - piece.V0;
        Sample(piece.Start0, piece.End0, piece.V0, weight0 * height / 6);
        Sample((piece.Start0 + piece.Start1) / 2, (piece.End0 + piece.End1) / 2, (piece.V0 + piece.V1) / 2, (weight0 + weight1) * height / 3);
        Sample(piece.Start1, piece.End1, piece.V1, weight1 * height / 6);
    }

    /// <summary>The interval of even dose that stands for what was added.</summary>
    public readonly (double Start, double End) Interval()
    {
        double width = first / weight;
        double centre = reference + second / first;
        return (centre - width / 2, centre + width / 2);
    }

    private void Sample(double start, double end, double v, double factor)
    {
        double from = start - reference;
        double to = end - reference;
        double width = to - from;
        weight += factor;
        first += factor * width;
        second += factor * width * (from + to) / 2;
        across += factor * width * v;
    }
}
