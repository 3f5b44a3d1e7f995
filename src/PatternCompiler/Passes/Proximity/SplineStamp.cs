using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// What a small figure of dose 1 gives to the nodes of a grid around it: its density times the cubic B-spline of each node,
/// integrated. Across the figure the integral is a closed form, taken at as many heights as its sides' slant asks for; between
/// these it is interpolated along the height, and integrated with the splines exactly. A rectangle takes one height.
/// </summary>
internal sealed class SplineStamp
{
    /// <summary>Figures of more nodes than this along an axis do not fit.</summary>
    public const int Side = 16;

    /// <summary>Nodes that a spline reaches to each side of the cell that a place lies in.</summary>
    public const int Beside = 2;

    // As wide as vectors are on every machine: wider ones would be put together from these where they are missing.
    private const int Lane = 4;
    private const double GaussNode = 0.2113248654051871;

    // Up to so many nodes that a side moves across, two heights are as good as three are for MostShift: of a Gaussian that is three nodes
    // wide n of them miss 2e-5 and 3e-5 (n-point Gauss–Legendre; Abramowitz and Stegun, 25.4.30).
    private const double FewShift = 1;
    private const double MostShift = 3;
    private const int MostHeights = 3;
    private const double ThreeNodes = 0.3872983346207417;
    private const float Sqrt3 = 1.7320508f;
    private const float Sqrt06 = 0.77459667f;
    private const double LinePiece = 0.5;
    private static readonly Vector128<float> Lanes = Vector128.Create(0f, 1, 2, 3);

    private readonly float[] weights = new float[Side * Side];
    private readonly float[] across = new float[MostHeights * Side];
    private readonly float[] upward = new float[MostHeights * Side];

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
                OfTrapezoid(figure.Shape, yLow, xLow, pitch, true);
                break;
            default:
                OfTrapezoid(figure.Shape, xLow, yLow, pitch, false);
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

    private void OfTrapezoid(in Trapezoid shape, double xLow, double yLow, double pitch, bool isTransposed)
    {
        double bottom = (shape.YBottom - yLow) / pitch;
        double top = (shape.YTop - yLow) / pitch;
        (double left, double leftSlope) = Line(shape.Left, shape.YBottom, xLow, pitch);
        (double right, double rightSlope) = Line(shape.Right, shape.YBottom, xLow, pitch);
        double height = top - bottom;
        double low = Math.Min(left, left + leftSlope * height);
        double high = Math.Max(right, right + rightSlope * height);
        (int firstColumn, int firstRow, int lastColumn, int lastRow) =
            ((int)Math.Floor(low) - 1, (int)Math.Floor(bottom) - 1, (int)Math.Floor(high) + Beside, (int)Math.Floor(top) + Beside);
        if (isTransposed)
        {
            Clear(firstRow, firstColumn, lastRow, lastColumn);
        }
        else
        {
            Clear(firstColumn, firstRow, lastColumn, lastRow);
        }

        double shift = Math.Max(Math.Abs(leftSlope), Math.Abs(rightSlope)) * height;
        int heights = shift == 0 ? 1 : shift <= FewShift ? 2 : MostHeights;
        int pieces = Math.Max(1, (int)Math.Ceiling(shift / MostShift));
        int columns = lastColumn - firstColumn + 1;
        (left, right) = (left - firstColumn, right - firstColumn);
        for (int piece = 0; piece < pieces; piece++)
        {
            double from = height * piece / pieces;
            double to = height * (piece + 1) / pieces;
            for (int i = 0; i < heights; i++)
            {
                double at = from + (to - from) * Node(heights, i);
                Across((float)(left + leftSlope * at), (float)(right + rightSlope * at), across.AsSpan(i * Side, Side), columns);
            }

            Upward(bottom - firstRow + from, bottom - firstRow + to, heights);
            if (isTransposed)
            {
                AddProduct(upward, across, heights);
            }
            else
            {
                AddProduct(across, upward, heights);
            }
        }
    }

    private static double Node(int count, int i) => count switch
    {
        1 => 0.5,
        2 => i == 0 ? GaussNode : 1 - GaussNode,
        _ => 0.5 + (i - 1) * ThreeNodes,
    };

    private static void Across(float left, float right, Span<float> weights, int columns)
    {
        for (int column = 0; column < columns; column += Lane)
        {
            (Below(right - column) - Below(left - column)).CopyTo(weights[column..]);
        }
    }

    // Integral over a height, for each node of the rows, of its spline times the polynomial that is 1 at one of the chosen heights and 0 at
    // the others. Three-point Gauss between grid lines is exact for it.
    private void Upward(double bottom, double top, int heights)
    {
        Array.Clear(upward);
        double scale = 2 / (top - bottom);
        for (int cell = (int)bottom; cell < top; cell++)
        {
            double from = Math.Max(bottom, cell);
            double step = Math.Min(top, cell + 1.0) - from;
            (Vector128<float> first, Vector128<float> second, Vector128<float> third) = (Vector128<float>.Zero, Vector128<float>.Zero, Vector128<float>.Zero);
            for (int i = 0; i < 3; i++)
            {
                double at = from + step * Node(3, i);
                Vector128<float> spline = At((float)(at - cell)) * (float)(step * (i == 1 ? 8 / 18.0 : 5 / 18.0));
                float s = (float)((at - bottom) * scale - 1);
                if (heights == 1)
                {
                    first += spline;
                }
                else if (heights == 2)
                {
                    float half = s * (0.5f * Sqrt3);
                    first += spline * (0.5f - half);
                    second += spline * (0.5f + half);
                }
                else
                {
                    float square = s * s * (0.5f / 0.6f);
                    float half = s * (0.5f / Sqrt06);
                    first += spline * (square - half);
                    second += spline * (1 - 2 * square);
                    third += spline * (square + half);
                }
            }

            Add(first, cell - 1);
            Add(second, Side + cell - 1);
            Add(third, 2 * Side + cell - 1);
        }

        void Add(Vector128<float> weights, int place)
        {
            ref float start = ref upward[place];
            (Vector128.LoadUnsafe(ref start) + weights).StoreUnsafe(ref start);
        }
    }

    private void AddProduct(float[] ofColumns, float[] ofRows, int terms)
    {
        for (int row = 0; row < Rows; row++)
        {
            for (int column = 0; column < Columns; column += Lane)
            {
                ref float start = ref weights[row * Side + column];
                var sum = Vector128.LoadUnsafe(ref start);
                for (int term = 0; term < terms; term++)
                {
                    sum += Vector128.LoadUnsafe(ref ofColumns[term * Side + column]) * ofRows[term * Side + row];
                }

                sum.StoreUnsafe(ref start);
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

    // Integral of the splines of four nodes from far below up to a place: P(v) = ((2 − v)⁴ − 4 (1 − v)⁴)/24 is what a spline has
    // beyond a distance v of its node, with negative powers taken as 0.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector128<float> Below(float place)
    {
        Vector128<float> u = Vector128.Create(place) - Lanes;
        Vector128<float> v = Vector128.Abs(u);
        Vector128<float> two = Vector128.Max(Vector128.Create(2f) - v, Vector128<float>.Zero);
        Vector128<float> one = Vector128.Max(Vector128.Create(1f) - v, Vector128<float>.Zero);
        two *= two;
        one *= one;
        Vector128<float> beyond = (two * two - one * one * 4f) * (1 / 24f);
        return Vector128.ConditionalSelect(Vector128.GreaterThan(u, Vector128<float>.Zero), Vector128<float>.One - beyond, beyond);
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
}
