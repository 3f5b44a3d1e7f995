using MathNet.Numerics.LinearAlgebra;
using PatternCompiler.Measure.Edges;

namespace PatternCompiler.Measure;

/// <summary>
/// By how much shapes are shifted whose edges all lie outside by one more distance: weighted least squares over the edges of all their
/// sides. Several groups of shapes have shifts of their own, and a turn and a scale about one place in common.
/// </summary>
/// <param name="X">Shift.</param>
/// <param name="Y">Shift.</param>
/// <param name="ErrorX">Standard error by the picture's noise.</param>
/// <param name="ErrorY">Standard error by the picture's noise.</param>
internal readonly record struct ShapeShift(double X, double Y, double ErrorX, double ErrorY)
{
    /// <summary>The shift of one group, or null if a side is not seen: then the distance would be taken for a shift.</summary>
    public static ShapeShift? Of(IReadOnlyCollection<MeasuredEdge> edges) => HasAllSides(edges) ? Solve([edges], null)[0] : null;

    /// <summary>The shifts of several groups that may be turned and scaled together about a place; null if a side of one is not seen.</summary>
    public static ShapeShift[]? Of(IReadOnlyCollection<MeasuredEdge>[] groups, double aboutX, double aboutY) =>
        groups.All(HasAllSides) ? Solve(groups, (aboutX, aboutY)) : null;

    private static bool HasAllSides(IReadOnlyCollection<MeasuredEdge> edges) => ((int, int)[])[(1, 0), (-1, 0), (0, 1), (0, -1)] is var sides
        && sides.All(side => edges.Any(edge => Math.Round(edge.Strip.OutX) == side.Item1 && Math.Round(edge.Strip.OutY) == side.Item2));

    private static ShapeShift[] Solve(IReadOnlyCollection<MeasuredEdge>[] groups, (double X, double Y)? about)
    {
        int count = 2 * groups.Length + 1 + (about is null ? 0 : 2);
        var normal = Matrix<double>.Build.Dense(count, count);
        var right = Vector<double>.Build.Dense(count);
        double size = about is null ? 1 : groups.SelectMany(edges => edges).Max(edge => Math.Abs(edge.Strip.X - about.Value.X) + Math.Abs(edge.Strip.Y - about.Value.Y));
        var row = new double[count];
        for (int group = 0; group < groups.Length; group++)
        {
            foreach (MeasuredEdge edge in groups[group])
            {
                Array.Clear(row);
                (row[2 * group], row[2 * group + 1], row[2 * groups.Length]) = (edge.Strip.OutX, edge.Strip.OutY, 1);
                if (about is var (x, y))
                {
                    (double placeX, double placeY) = ((edge.Strip.X - x) / size, (edge.Strip.Y - y) / size);
                    (row[^2], row[^1]) = (edge.Strip.OutY * placeX - edge.Strip.OutX * placeY, edge.Strip.OutX * placeX + edge.Strip.OutY * placeY);
                }

                double weight = 1 / (edge.StandardErrorNanometres * edge.StandardErrorNanometres);
                for (int a = 0; a < count; a++)
                {
                    right[a] += weight * row[a] * edge.OffsetNanometres;
                    for (int b = 0; b < count; b++)
                    {
                        normal[a, b] += weight * row[a] * row[b];
                    }
                }
            }
        }

        Matrix<double> covariance = normal.Inverse();
        Vector<double> found = covariance * right;
        return [.. Enumerable.Range(0, groups.Length).Select(i => new ShapeShift(
            found[2 * i], found[2 * i + 1], Math.Sqrt(covariance[2 * i, 2 * i]), Math.Sqrt(covariance[2 * i + 1, 2 * i + 1])))];
    }
}
