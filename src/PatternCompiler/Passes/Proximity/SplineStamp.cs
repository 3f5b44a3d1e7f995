using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// What a small figure of dose 1 gives to the nodes of a grid around it: its density times the cubic B-spline of each node,
/// integrated. Across the figure the integral is a closed form, taken at as many heights as its sides' slant asks for, each with
/// what the splines have of the height that it stands for. A rectangle takes one height.
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

    // A side that moves across no more nodes than this is taken at two heights, of a figure that is thin at three for MostShift: of a
    // Gaussian that is three nodes wide, n heights miss 2e-5 and 3e-5 (n-point Gauss–Legendre; Abramowitz and Stegun, 25.4.30).
    private const double FewShift = 1;
    private const double MostShift = 3;
    private const int MostHeights = 3;

    // In nodes: the splines hardly change over such a height, and the same rule integrates them.
    private const double ThinHeight = 0.5;
    private const double ThreeNodes = 0.3872983346207417;
    private const float Sqrt3 = 1.7320508f;
    private const double LinePiece = 0.5;

    private readonly float[] once = SplineIntegrals.Once;
    private readonly float[] twice = SplineIntegrals.Twice;
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
        double perPitch = 1 / pitch;
        double bottom = (shape.YBottom - yLow) * perPitch;
        double top = (shape.YTop - yLow) * perPitch;
        (double left, double leftSlope) = Line(shape.Left, shape.YBottom, xLow, perPitch);
        (double right, double rightSlope) = Line(shape.Right, shape.YBottom, xLow, perPitch);
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
        int pieces = Math.Max(1, (int)Math.Ceiling(shift / (height <= ThinHeight ? MostShift : FewShift)));
        int heights = shift == 0 ? 1 : shift <= pieces * FewShift ? 2 : MostHeights;
        (double x, double y) = (left - firstColumn, bottom - firstRow);
        double width = right - left;
        for (int piece = 0; piece < pieces; piece++)
        {
            double from = height * piece / pieces;
            double step = height / pieces;
            for (int i = 0; i < heights; i++)
            {
                double at = from + step * Node(heights, i);
                Between((float)(x + leftSlope * at), (float)(x + width + rightSlope * at), ref across[i * Side], lastColumn - firstColumn);
            }

            Upward((float)(y + from), (float)step, heights, lastRow - firstRow);
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

    // What the splines have between two places.
    private void Between(float low, float high, ref float target, int last)
    {
        ref float toLow = ref SplineIntegrals.Find(once, low, out float lowRest);
        ref float toHigh = ref SplineIntegrals.Find(once, high, out float highRest);
        for (int node = 0; node <= last; node += Lane)
        {
            (SplineIntegrals.At(ref toHigh, highRest, node) - SplineIntegrals.At(ref toLow, lowRest, node)).StoreUnsafe(ref target, (nuint)node);
        }
    }

    // What the splines of the rows have of a height, divided among the places where it is looked at: integrals of the polynomials that
    // are 1 at one of them and 0 at the others.
    private void Upward(float bottom, float height, int heights, int last)
    {
        if (heights == 1)
        {
            Between(bottom, bottom + height, ref upward[0], last);
            return;
        }

        if (height <= ThinHeight)
        {
            for (int i = 0; i < heights; i++)
            {
                float at = bottom + height * (float)Node(heights, i);
                Span<float> weights = upward.AsSpan(i * Side, Side);
                weights.Clear();
                (At(at - (int)at) * (height * (heights == 2 ? 0.5f : i == 1 ? 8 / 18f : 5 / 18f))).CopyTo(weights[((int)at - 1)..]);
            }

            return;
        }

        // By parts.
        ref float toBottom = ref SplineIntegrals.Find(once, bottom, out float bottomRest);
        ref float toTop = ref SplineIntegrals.Find(once, bottom + height, out float topRest);
        ref float twiceToBottom = ref SplineIntegrals.Find(twice, bottom, out _);
        ref float twiceToTop = ref SplineIntegrals.Find(twice, bottom + height, out _);
        for (int node = 0; node <= last; node += Lane)
        {
            Vector128<float> above = SplineIntegrals.At(ref toTop, topRest, node);
            Vector128<float> below = SplineIntegrals.At(ref toBottom, bottomRest, node);
            Vector128<float> within = SplineIntegrals.At(ref twiceToTop, topRest, node) - SplineIntegrals.At(ref twiceToBottom, bottomRest, node);
            Vector128<float> second = above * ((1 + Sqrt3) / 2) - below * ((1 - Sqrt3) / 2) - within * (Sqrt3 / height);
            (above - below - second).StoreUnsafe(ref upward[node]);
            second.StoreUnsafe(ref upward[Side + node]);
        }
    }

    private void AddProduct(float[] ofColumns, float[] ofRows, int terms)
    {
        ref float columnStart = ref ofColumns[0];
        for (int row = 0; row < Rows; row++)
        {
            ref float start = ref weights[row * Side];
            (float first, float second, float third) = (ofRows[row], ofRows[Side + row], ofRows[2 * Side + row]);
            for (int column = 0; column < Columns; column += Lane)
            {
                var place = (nuint)column;
                Vector128<float> sum = Vector128.LoadUnsafe(ref start, place) + Vector128.LoadUnsafe(ref columnStart, place) * first;
                if (terms > 1)
                {
                    sum += Vector128.LoadUnsafe(ref columnStart, place + Side) * second;
                }

                if (terms > 2)
                {
                    sum += Vector128.LoadUnsafe(ref columnStart, place + 2 * Side) * third;
                }

                sum.StoreUnsafe(ref start, place);
            }
        }
    }

    // Place of a side at a height, and how far it moves per height, both in nodes.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (double Place, double Slope) Line(in GridEdge edge, int y, double xLow, double perPitch)
    {
        if (edge.IsVertical)
        {
            return ((edge.Lower.X - xLow) * perPitch, 0);
        }

        double slope = ((double)edge.Upper.X - edge.Lower.X) / ((double)edge.Upper.Y - edge.Lower.Y);
        return ((edge.Lower.X + (y - (double)edge.Lower.Y) * slope - xLow) * perPitch, slope);
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
