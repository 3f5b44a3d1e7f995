using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// What a small figure of dose 1 gives to the nodes of a grid around it: its density times the cubic B-spline of each node,
/// integrated. Across the figure the integral is a closed form; along its height two-point Gauss between grid lines, which is
/// exact for a rectangle, with more steps where a side is flat.
/// </summary>
internal sealed class SplineStamp
{
    /// <summary>Figures of more nodes than this along an axis do not fit.</summary>
    public const int Side = 16;

    /// <summary>Nodes that a spline reaches to each side of the cell that a place lies in.</summary>
    public const int Beside = 2;

    private const int LargestSteps = 16;
    private const double GaussNode = 0.2113248654051871;
    private const double LinePiece = 0.5;
    private static readonly Vector256<float> Lanes = Vector256.Create(0f, 1, 2, 3, 4, 5, 6, 7);

    private readonly float[] weights = new float[Side * Side];
    private readonly float[] turned = new float[Side * Side];

    /// <summary>Node of the first column.</summary>
    public int Column { get; private set; }

    /// <summary>Node of the first row.</summary>
    public int Row { get; private set; }

    /// <summary>Columns that are not empty.</summary>
    public int Columns { get; private set; }

    /// <summary>Rows that are not empty.</summary>
    public int Rows { get; private set; }

    /// <summary>Weights of a row; zero beyond the columns.</summary>
    public ReadOnlySpan<float> WeightsOf(int row) => weights.AsSpan(row * Side, Side);

    /// <summary>Makes the stamp of a figure.</summary>
    /// <param name="figure">The figure, at most <see cref="Side"/> less 5 nodes high and wide.</param>
    /// <param name="xLow">Place of the node 0, in grid steps.</param>
    /// <param name="yLow">See <paramref name="xLow"/>.</param>
    /// <param name="pitch">Distance of nodes, in grid steps.</param>
    /// <param name="chargeOf">Charge of a line per grid step and of a dot, as area of dose 1 in square grid steps.</param>
    public void Make(in Figure figure, double xLow, double yLow, double pitch, (double Line, double Dot) chargeOf)
    {
        switch (figure.Kind)
        {
            case FigureKind.Dot:
                OfLine(figure.Start, figure.Start, 1, xLow, yLow, pitch, chargeOf.Dot / (pitch * pitch));
                break;
            case FigureKind.Line:
                double dx = (double)figure.End.X - figure.Start.X;
                double dy = (double)figure.End.Y - figure.Start.Y;
                double length = Math.Sqrt(dx * dx + dy * dy);
                int pieces = Math.Max(1, (int)Math.Ceiling(length / (LinePiece * pitch)));
                OfLine(figure.Start, figure.End, pieces, xLow, yLow, pitch, chargeOf.Line * length / (pitch * pitch));
                break;
            case FigureKind.Trapezoid when figure.IsTransposed:
                OfTrapezoid(figure.Shape, yLow, xLow, pitch);
                Turn();
                break;
            default:
                OfTrapezoid(figure.Shape, xLow, yLow, pitch);
                break;
        }
    }

    /// <summary>Weights of the four nodes around a place, from the one before its cell on.</summary>
    /// <param name="t">Place within its cell, 0 to 1.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<float> At(float t)
    {
        float s = 1 - t;
        return Vector128.Create(s * s * s, 4 - (3 * t * t * (2 - t)), 4 - (3 * s * s * (2 - s)), t * t * t) * (1 / 6f);
    }

    private void OfTrapezoid(in Trapezoid shape, double xLow, double yLow, double pitch)
    {
        double bottom = (shape.YBottom - yLow) / pitch;
        double top = (shape.YTop - yLow) / pitch;
        (double left, double leftSlope) = Line(shape.Left, shape.YBottom, xLow, pitch);
        (double right, double rightSlope) = Line(shape.Right, shape.YBottom, xLow, pitch);
        double height = top - bottom;
        double low = Math.Min(left, left + leftSlope * height);
        double high = Math.Max(right, right + rightSlope * height);
        Clear((int)Math.Floor(low) - 1, (int)Math.Floor(bottom) - 1, (int)Math.Floor(high) + Beside, (int)Math.Floor(top) + Beside);
        double steepness = Math.Max(Math.Abs(leftSlope), Math.Abs(rightSlope));
        for (int cell = Row + 1; cell < top; cell++)
        {
            double from = Math.Max(bottom, cell);
            double to = Math.Min(top, cell + 1.0);
            int steps = Math.Clamp((int)Math.Ceiling(steepness * (to - from)), 1, LargestSteps);
            double step = (to - from) / steps;
            for (int i = 0; i < 2 * steps; i++)
            {
                double at = from + step * ((i >> 1) + ((i & 1) == 0 ? GaussNode : 1 - GaussNode));
                AddSlice(cell, (float)(at - cell), (float)(step / 2), left + leftSlope * (at - bottom), right + rightSlope * (at - bottom));
            }
        }
    }

    // Place of a side at a height, and how far it moves per height, both in nodes.
    private static (double Place, double Slope) Line(in GridEdge edge, int y, double xLow, double pitch)
    {
        if (edge.IsVertical)
        {
            return ((edge.Lower.X - xLow) / pitch, 0);
        }

        double slope = ((double)edge.Upper.X - edge.Lower.X) / ((double)edge.Upper.Y - edge.Lower.Y);
        return ((edge.Lower.X + (y - (double)edge.Lower.Y) * slope - xLow) / pitch, slope);
    }

    private void AddSlice(int cell, float t, float height, double left, double right)
    {
        Vector128<float> upward = At(t) * height;
        ref float start = ref weights[(cell - 1 - Row) * Side];
        for (int column = 0; column < Columns; column += Vector256<float>.Count)
        {
            Vector256<float> across = Below((float)(right - Column - column)) - Below((float)(left - Column - column));
            for (int row = 0; row < 4; row++)
            {
                nuint place = (nuint)(row * Side + column);
                (Vector256.LoadUnsafe(ref start, place) + across * upward[row]).StoreUnsafe(ref start, place);
            }
        }
    }

    // Integral of the splines of eight nodes from far below up to a place: P(v) = ((2 − v)⁴ − 4 (1 − v)⁴)/24 is what a spline has
    // beyond a distance v of its node, with negative powers taken as 0.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<float> Below(float place)
    {
        Vector256<float> u = Vector256.Create(place) - Lanes;
        Vector256<float> v = Vector256.Abs(u);
        Vector256<float> two = Vector256.Max(Vector256.Create(2f) - v, Vector256<float>.Zero);
        Vector256<float> one = Vector256.Max(Vector256.Create(1f) - v, Vector256<float>.Zero);
        two *= two;
        one *= one;
        Vector256<float> beyond = (two * two - one * one * 4f) * (1 / 24f);
        return Vector256.ConditionalSelect(Vector256.GreaterThan(u, Vector256<float>.Zero), Vector256<float>.One - beyond, beyond);
    }

    private void OfLine(GridPoint start, GridPoint end, int pieces, double xLow, double yLow, double pitch, double charge)
    {
        (double x, double y) = ((start.X - xLow) / pitch, (start.Y - yLow) / pitch);
        (double dx, double dy) = (((double)end.X - start.X) / pitch, ((double)end.Y - start.Y) / pitch);
        Clear(
            (int)Math.Floor(Math.Min(x, x + dx)) - 1,
            (int)Math.Floor(Math.Min(y, y + dy)) - 1,
            (int)Math.Floor(Math.Max(x, x + dx)) + Beside,
            (int)Math.Floor(Math.Max(y, y + dy)) + Beside);
        for (int i = 0; i < 2 * pieces; i++)
        {
            double along = ((i >> 1) + ((i & 1) == 0 ? GaussNode : 1 - GaussNode)) / pieces;
            (double u, double v) = (x + along * dx, y + along * dy);
            (int column, int row) = ((int)Math.Floor(u), (int)Math.Floor(v));
            Vector128<float> across = At((float)(u - column)) * (float)(charge / (2 * pieces));
            Vector128<float> upward = At((float)(v - row));
            for (int k = 0; k < 4; k++)
            {
                ref float first = ref weights[(row - 1 - Row + k) * Side + column - 1 - Column];
                (Vector128.LoadUnsafe(ref first) + across * upward[k]).StoreUnsafe(ref first);
            }
        }
    }

    private void Clear(int column, int row, int lastColumn, int lastRow)
    {
        (Column, Row, Columns, Rows) = (column, row, lastColumn - column + 1, lastRow - row + 1);
        weights.AsSpan(0, Rows * Side).Clear();
    }

    private void Turn()
    {
        for (int row = 0; row < Rows; row++)
        {
            for (int column = 0; column < Side; column++)
            {
                turned[column * Side + row] = column < Columns ? weights[row * Side + column] : 0;
            }
        }

        for (int row = 0; row < Columns; row++)
        {
            turned.AsSpan(row * Side, Rows).CopyTo(weights.AsSpan(row * Side));
            weights.AsSpan(row * Side + Rows, Side - Rows).Clear();
        }

        (Column, Row, Columns, Rows) = (Row, Column, Rows, Columns);
    }
}
