using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Measure.Edges;

namespace PatternCompiler.Measure;

/// <summary>
/// Verniers: combs of upright rectangles of one thickness at an even pitch with one end in line, and facing them a comb of another
/// pitch. All edges of both combs count, so that no tooth must stand in line with another.
/// </summary>
internal static class VernierFinder
{
    private const int FewestTeeth = 3;

    /// <summary>All verniers of which both combs were found, from the top down and left to right.</summary>
    public static ImmutableArray<MeasuredVernier> Find(ContourSet outlines, long gridPicometres, DrawnOutlines drawn, IEnumerable<MeasuredEdge> edges)
    {
        Dictionary<int, MeasuredEdge[]> found = edges.Where(edge => edge.IsFound).GroupBy(edge => drawn.Stretches[edge.Strip.Stretch].Ring).ToDictionary(group => group.Key, group => group.ToArray());
        var verniers = new List<MeasuredVernier>();
        foreach (bool isUpright in (bool[])[true, false])
        {
            Tooth[] teeth = [.. found.Keys.Order().Select(ring => Tooth.Of(outlines[ring], ring, isUpright)).OfType<Tooth>()];
            Comb[] lower = [.. Combs(teeth, tooth => tooth.High)], upper = [.. Combs(teeth, tooth => tooth.Low)];
            foreach (Comb first in lower)
            {
                foreach (Comb second in upper.Where(second => first.Faces(second)))
                {
                    if (Measure(first, second, isUpright, found, gridPicometres * 1e-3) is { } vernier)
                    {
                        verniers.Add(vernier);
                    }
                }
            }
        }

        return [.. verniers.OrderByDescending(vernier => vernier.YNanometres).ThenBy(vernier => vernier.XNanometres)];
    }

    private static IEnumerable<Comb> Combs(Tooth[] teeth, Func<Tooth, int> baseOf) => teeth
        .GroupBy(tooth => (Base: baseOf(tooth), tooth.Thickness))
        .Select(group => new Comb(group.Key.Base, group.Key.Thickness, [.. group.OrderBy(tooth => tooth.TwiceMiddle)]))
        .Where(comb => comb.Teeth.Length >= FewestTeeth && comb.TwicePitch is not null);

    private static MeasuredVernier? Measure(Comb first, Comb second, bool isUpright, Dictionary<int, MeasuredEdge[]> found, double scale)
    {
        double across = (first.Base + (double)second.Base) / 2 * scale;
        double along = (first.Middle + second.Middle) / 2 * scale;
        (double x, double y) = isUpright ? (across, along) : (along, across);
        MeasuredEdge[][] groups = [.. ((Comb[])[first, second]).Select(comb => comb.Teeth.SelectMany(tooth => found[tooth.Ring]).ToArray())];
        if (ShapeShift.Of(groups, x, y) is not [var a, var b])
        {
            return null;
        }

        double step = Math.Abs(first.TwicePitch!.Value - second.TwicePitch!.Value) / 2.0 * scale;
        return new MeasuredVernier(
            x, y, isUpright, b.X - a.X, b.Y - a.Y, Math.Sqrt(a.ErrorX * a.ErrorX + b.ErrorX * b.ErrorX), Math.Sqrt(a.ErrorY * a.ErrorY + b.ErrorY * b.ErrorY),
            step, first.Teeth.Length + second.Teeth.Length);
    }

    // Low to high along it; its middle and thickness across.
    private sealed record Tooth(int Ring, int Low, int High, long TwiceMiddle, int Thickness)
    {
        public static Tooth? Of(ReadOnlySpan<GridPoint> ring, int number, bool isUpright)
        {
            GridBox box = GridBox.Around(ring);
            (int width, int height) = (box.XRight - box.XLeft, box.YTop - box.YBottom);
            if (ring.Length != 4 || Int128.Abs(ExactArea.Twice(ring)) != 2 * (Int128)width * height || (isUpright ? width <= height : height <= width))
            {
                return null;
            }

            return isUpright
                ? new Tooth(number, box.XLeft, box.XRight, (long)box.YBottom + box.YTop, height)
                : new Tooth(number, box.YBottom, box.YTop, (long)box.XLeft + box.XRight, width);
        }
    }

    private sealed record Comb(int Base, int Thickness, Tooth[] Teeth)
    {
        public double Middle => (Teeth[0].TwiceMiddle + Teeth[^1].TwiceMiddle) / 4.0;

        /// <summary>Null where the pitch is not even; teeth that were not found leave it so.</summary>
        public long? TwicePitch
        {
            get
            {
                long[] steps = [.. Teeth.Zip(Teeth.Skip(1), (a, b) => b.TwiceMiddle - a.TwiceMiddle)];
                long smallest = steps.Min();
                return smallest > 2L * Thickness && Array.TrueForAll(steps, step => step % smallest == 0) ? smallest : null;
            }
        }

        /// <summary>The other one begins where this one ends, at another pitch.</summary>
        public bool Faces(Comb other) => Thickness == other.Thickness && TwicePitch != other.TwicePitch && Base <= other.Base
            && other.Base - Base < Teeth[0].High - (long)Teeth[0].Low
            && Teeth[0].TwiceMiddle < other.Teeth[^1].TwiceMiddle && other.Teeth[0].TwiceMiddle < Teeth[^1].TwiceMiddle;
    }
}
