using System.Runtime.InteropServices;
using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Pieces of outlines within one tile.</summary>
internal sealed class ContourPieces
{
    private readonly List<GridPoint> points = [];
    private readonly List<Piece> pieces = [];

    /// <summary>Number of pieces.</summary>
    public int Count => pieces.Count;

    /// <summary>Name of the pixel edge that a piece starts on.</summary>
    public long Start(int piece) => pieces[piece].Start;

    /// <summary>Name of the pixel edge that it ends on; the start's for a closed outline.</summary>
    public long End(int piece) => pieces[piece].End;

    /// <summary>Its points, the first and the last included.</summary>
    public ReadOnlySpan<GridPoint> Points(int piece)
    {
        int first = piece == 0 ? 0 : pieces[piece - 1].PointsEnd;
        return CollectionsMarshal.AsSpan(points)[first..pieces[piece].PointsEnd];
    }

    /// <summary>Adds a point to the piece under construction.</summary>
    public void Add(GridPoint point) => points.Add(point);

    /// <summary>Ends the piece under construction.</summary>
    public void End(long start, long end) => pieces.Add(new Piece(start, end, points.Count));

    private readonly record struct Piece(long Start, long End, int PointsEnd);
}
