using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Curves;

/// <summary>
/// A B-spline curve of any degree, rational where its weights differ. Each span between two knots is turned into a Bézier
/// curve; its control points are the curve's blossom at the span's ends (de Boor's scheme with a separate argument per step).
/// </summary>
internal sealed class SplineCurve : DxfCurve
{
    private readonly int degree;
    private readonly double[] knots;
    private readonly RationalPoint[] control;

    /// <param name="degree">Degree, 1 or more.</param>
    /// <param name="knots">Knots in rising order, as many as control points and degree and one.</param>
    /// <param name="control">Control points with positive weights, more than the degree.</param>
    public SplineCurve(int degree, double[] knots, RationalPoint[] control)
    {
        this.degree = degree;
        this.knots = knots;
        this.control = control;
    }

    /// <inheritdoc/>
    /// <remarks>A spline that comes back to its start is closed like any other piece of an outline.</remarks>
    public override bool IsClosed => false;

    /// <inheritdoc/>
    public override DxfCurve Mirrored() => new SplineCurve(degree, knots, [.. control.Select(c => c with { X = -c.X })]);

    /// <inheritdoc/>
    public override bool TryFlatten(List<PlanePoint> points, in Placement placement, double chordError)
    {
        var placed = new RationalPoint[control.Length];
        for (int i = 0; i < control.Length; i++)
        {
            PlanePoint point = placement.Apply(control[i].Point);
            if (!point.FitsGrid)
            {
                return false;
            }

            placed[i] = RationalPoint.From(point, control[i].W);
        }

        for (int span = degree; span < control.Length; span++)
        {
            if (!(knots[span] < knots[span + 1]))
            {
                continue;
            }

            RationalPoint[] bezier = BezierOf(placed, span);
            if (points.Count == 0)
            {
                points.Add(bezier[0].Point);
            }

            BezierFlattening.Append(points, bezier, chordError);
        }

        return points.Count > 1;
    }

    private RationalPoint[] BezierOf(RationalPoint[] placed, int span)
    {
        var bezier = new RationalPoint[degree + 1];
        var work = new RationalPoint[degree + 1];
        for (int k = 0; k <= degree; k++)
        {
            // Blossom with k arguments at the span's end and the others at its start.
            Array.Copy(placed, span - degree, work, 0, degree + 1);
            for (int step = 1; step <= degree; step++)
            {
                double at = knots[step <= k ? span + 1 : span];
                for (int i = degree; i >= step; i--)
                {
                    double low = knots[span - degree + i];
                    double high = knots[span + 1 + i - step];
                    work[i] = RationalPoint.Lerp(work[i - 1], work[i], (at - low) / (high - low));
                }
            }

            bezier[k] = work[degree];
        }

        return bezier;
    }
}
