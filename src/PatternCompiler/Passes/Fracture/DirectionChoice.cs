using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Fracture;

/// <summary>
/// Chooses for each connected part of an area between its horizontal and its vertical decomposition. A part is known in
/// both by its lowest, then leftmost corner.
/// </summary>
internal static class DirectionChoice
{
    /// <summary>Keeps of both decompositions the pieces of the parts for which they are the better one.</summary>
    /// <param name="horizontal">Pieces with horizontal parallel sides.</param>
    /// <param name="vertical">Pieces with vertical parallel sides, x and y exchanged.</param>
    /// <param name="sliver">Thickness below which a piece is a sliver, in grid steps.</param>
    public static (List<Trapezoid> Horizontal, List<Trapezoid> Vertical) Choose(Trapezoid[] horizontal, Trapezoid[] vertical, double sliver)
    {
        GridPoint[] horizontalParts = PartOfEach(horizontal, transposed: false);
        GridPoint[] verticalParts = PartOfEach(vertical, transposed: true);
        Dictionary<GridPoint, Score> horizontalScores = Judge(horizontal, horizontalParts, sliver);
        Dictionary<GridPoint, Score> verticalScores = Judge(vertical, verticalParts, sliver);
        var kept = (Horizontal: new List<Trapezoid>(), Vertical: new List<Trapezoid>());
        if (horizontalScores.Count != verticalScores.Count || !horizontalScores.Keys.All(verticalScores.ContainsKey))
        {
            // Parts that touch in a corner may be told apart in one direction only: then all are decided together.
            Score whole = Sum(horizontalScores.Values), other = Sum(verticalScores.Values);
            return whole.CompareTo(other) <= 0 ? ([.. horizontal], []) : ([], [.. vertical]);
        }

        for (int i = 0; i < horizontal.Length; i++)
        {
            if (horizontalScores[horizontalParts[i]].CompareTo(verticalScores[horizontalParts[i]]) <= 0)
            {
                kept.Horizontal.Add(horizontal[i]);
            }
        }

        for (int i = 0; i < vertical.Length; i++)
        {
            if (horizontalScores[verticalParts[i]].CompareTo(verticalScores[verticalParts[i]]) > 0)
            {
                kept.Vertical.Add(vertical[i]);
            }
        }

        return kept;
    }

    private static GridPoint[] PartOfEach(Trapezoid[] pieces, bool transposed)
    {
        ConnectedParts parts = ConnectedParts.Find(pieces);
        var lowest = new GridPoint[pieces.Length];
        Array.Fill(lowest, new GridPoint(int.MaxValue, int.MaxValue));
        for (int i = 0; i < pieces.Length; i++)
        {
            ref GridPoint low = ref lowest[parts.Of(i)];
            foreach (GridEdge side in (ReadOnlySpan<GridEdge>)[pieces[i].Left, pieces[i].Right])
            {
                // An end elsewhere may be that of a cut, which is no corner of the area.
                low = side.Lower.Y == pieces[i].YBottom ? Lower(low, Drawn(side.Lower)) : low;
                low = side.Upper.Y == pieces[i].YTop ? Lower(low, Drawn(side.Upper)) : low;
            }
        }

        return [.. Enumerable.Range(0, pieces.Length).Select(i => lowest[parts.Of(i)])];

        GridPoint Drawn(GridPoint point) => transposed ? new GridPoint(point.Y, point.X) : point;
    }

    private static GridPoint Lower(GridPoint a, GridPoint b) => a.Y < b.Y || (a.Y == b.Y && a.X <= b.X) ? a : b;

    private static Dictionary<GridPoint, Score> Judge(Trapezoid[] pieces, GridPoint[] parts, double sliver)
    {
        var scores = new Dictionary<GridPoint, Score>();
        for (int i = 0; i < pieces.Length; i++)
        {
            Score score = scores.GetValueOrDefault(parts[i]);
            scores[parts[i]] = new Score(score.Slivers + (TrapezoidMeasure.Thickness(pieces[i]) < sliver ? 1 : 0), score.Pieces + 1);
        }

        return scores;
    }

    private static Score Sum(IEnumerable<Score> scores) =>
        scores.Aggregate((a, b) => new Score(a.Slivers + b.Slivers, a.Pieces + b.Pieces));

    private readonly record struct Score(int Slivers, int Pieces) : IComparable<Score>
    {
        public int CompareTo(Score other) => Slivers != other.Slivers ? Slivers.CompareTo(other.Slivers) : Pieces.CompareTo(other.Pieces);
    }
}
