using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Common;

/// <summary>
/// Outlines that wind around a part of their area more than once. In formats that have no fill rule it is a choice to fill such a part (the
/// nonzero rule), and another program may leave it empty (even-odd): the choice is said once for each drawing.
/// </summary>
internal sealed class SelfCrossings(WorkLimits limits)
{
    /// <summary>Points of outlines that are looked at closely; a drawing with more of them takes no longer.</summary>
    private const int MostPoints = 2_000_000;

    // A quadrilateral winds around nothing twice.
    private const int FewestCorners = 5;

    private int looked;
    private long count;
    private GridPoint first;

    /// <summary>Looks at an outline.</summary>
    public void See(ReadOnlySpan<GridPoint> ring)
    {
        if (ring.Length >= FewestCorners && CanWindTwice(ring) && (looked += ring.Length) <= MostPoints && WindsTwice(ring) && count++ == 0)
        {
            first = ring[0];
        }
    }

    /// <summary>Tells of them, if there are any.</summary>
    public void Report(DiagnosticSink sink, string file, long gridPicometres)
    {
        if (count > 0)
        {
            string place = $"({LengthText.Micrometres(first.X, gridPicometres)}, {LengthText.Micrometres(first.Y, gridPicometres)}) um";
            sink.Note(
                DrawingCodes.SelfCrossing,
                $"{CountText.Of(count, "outline crosses itself and winds around a part of its area twice; that part is filled", "outlines cross themselves and wind around parts of their area twice; those parts are filled")}, the first with a corner at {place}",
                new SourcePlace(file),
                "draw the part as a hole of its own if it is to stay empty",
                count);
        }
    }

    /// <summary>
    /// A line across meets no more rising sides than the ring has peaks, so that a winding of two takes two peaks: both upward and to the right.
    /// </summary>
    private static bool CanWindTwice(ReadOnlySpan<GridPoint> ring)
    {
        int peaksY = 0, peaksX = 0, lastY = 0, lastX = 0;
        for (int pass = 0; pass < 2; pass++)
        {
            // The first time around finds the directions before the start.
            peaksX = peaksY = 0;
            GridPoint from = ring[^1];
            foreach (GridPoint to in ring)
            {
                int y = to.Y.CompareTo(from.Y), x = to.X.CompareTo(from.X);
                peaksY += y < 0 && lastY > 0 ? 1 : 0;
                peaksX += x < 0 && lastX > 0 ? 1 : 0;
                (lastY, lastX) = (y == 0 ? lastY : y, x == 0 ? lastX : x);
                from = to;
            }
        }

        return peaksX > 1 && peaksY > 1;
    }

    // A ring that touches itself, as those with a cut to their hole do, need not be simple.
    private bool WindsTwice(ReadOnlySpan<GridPoint> ring)
    {
        if (RingSimplicity.IsSimple(ring))
        {
            return false;
        }

        ContourSet outline = ContourSet.FromRing(ring);
        return AreaBy(FillRule.NonZero) != AreaBy(FillRule.EvenOdd);

        Int128 AreaBy(FillRule rule) => ExactArea.Twice(RegionBoolean.Merge(outline, rule, threads: 1, limits));
    }
}
