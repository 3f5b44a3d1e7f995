using System.Buffers;
using System.Runtime.InteropServices;
using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Pieces of outlines within one tile, each point as its distance from the one before.</summary>
/// <param name="pieces">The pieces: first those that come from another tile, then those that close within this one.</param>
/// <param name="points">Points of all pieces.</param>
internal sealed class ContourPieces(ReadOnlySpan<ContourPieces.Piece> pieces, ReadOnlySpan<GridPoint> points)
{
    private readonly Piece[] pieces = pieces.ToArray();
    private readonly byte[] packed = Pack(points);

    /// <summary>Number of pieces.</summary>
    public int Count => pieces.Length;

    /// <summary>Number of points of all pieces.</summary>
    public int PointCount { get; } = points.Length;

    /// <summary>A piece.</summary>
    public Piece this[int piece] => pieces[piece];

    /// <summary>The points of all pieces, written into a list that serves again.</summary>
    public ReadOnlySpan<GridPoint> Points(List<GridPoint> points)
    {
        CollectionsMarshal.SetCount(points, PointCount);
        ReadOnlySpan<byte> left = packed;
        (int x, int y) = (0, 0);
        foreach (ref GridPoint point in CollectionsMarshal.AsSpan(points))
        {
            point = new GridPoint(x += (int)PackedNumbers.Take(ref left), y += (int)PackedNumbers.Take(ref left));
        }

        return CollectionsMarshal.AsSpan(points);
    }

    private static byte[] Pack(ReadOnlySpan<GridPoint> points)
    {
        byte[] bytes = ArrayPool<byte>.Shared.Rent(2 * PackedNumbers.Longest * points.Length);
        int used = 0;
        (int x, int y) = (0, 0);
        foreach (GridPoint point in points)
        {
            PackedNumbers.Put((long)point.X - x, bytes, ref used);
            PackedNumbers.Put((long)point.Y - y, bytes, ref used);
            (x, y) = (point.X, point.Y);
        }

        byte[] packed = bytes.AsSpan(0, used).ToArray();
        ArrayPool<byte>.Shared.Return(bytes);
        return packed;
    }

    /// <summary>A piece: names of the pixel edges that it starts and ends on, the same for a closed outline; the number of its first point, and of the next piece's.</summary>
    internal readonly record struct Piece(long Start, long End, int FirstPoint, int PointsEnd);
}
