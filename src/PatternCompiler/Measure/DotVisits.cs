using PatternCompiler.Geometry;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Measure;

/// <summary>
/// Dots of a drawing that lie on one place but for some nanometres, and from where the beam comes to them. A dot that is to be written
/// in several visits is drawn as often; exact copies would be written once.
/// </summary>
internal sealed class DotVisits
{
    private const double BesideNanometres = 20;
    private readonly double firstX;
    private readonly double firstY;
    private readonly Dictionary<DotVisits, int> from = [];
    private double sumX;
    private double sumY;

    private DotVisits(double x, double y) => (firstX, firstY) = (x, y);

    /// <summary>How many there are.</summary>
    public int Count { get; private set; }

    /// <summary>Their mean place, in nanometres.</summary>
    public double X => sumX / Count;

    /// <summary>As <see cref="X"/>.</summary>
    public double Y => sumY / Count;

    /// <summary>Way of the beam to it from what is written before, or not a number where visits differ by more than the first.</summary>
    public (double X, double Y) Jump => Count > 1 && from.Count > 0 && from.MaxBy(pair => pair.Value) is var (start, times) && times >= Count - 1 ? (X - start.X, Y - start.Y) : (double.NaN, double.NaN);

    /// <summary>All of a drawing, in its order.</summary>
    public static IReadOnlyList<DotVisits> Of(FlatLayout layout)
    {
        double scale = layout.GridPicometres * 1e-3;
        var places = new List<DotVisits>();
        var cells = new Dictionary<(long, long), List<DotVisits>>();
        foreach (FlatLayer group in layout.Groups)
        {
            DotVisits? before = null;
            foreach (GridPoint dot in group.Dots)
            {
                before = At(dot.X * scale, dot.Y * scale).Add(dot.X * scale, dot.Y * scale, before);
            }
        }

        return places;

        DotVisits At(double x, double y)
        {
            (long column, long row) = ((long)Math.Floor(x / BesideNanometres), (long)Math.Floor(y / BesideNanometres));
            for (long j = row - 1; j <= row + 1; j++)
            {
                for (long i = column - 1; i <= column + 1; i++)
                {
                    foreach (DotVisits place in cells.GetValueOrDefault((i, j)) ?? [])
                    {
                        if (Math.Max(Math.Abs(place.firstX - x), Math.Abs(place.firstY - y)) <= BesideNanometres)
                        {
                            return place;
                        }
                    }
                }
            }

            var made = new DotVisits(x, y);
            places.Add(made);
            if (!cells.TryGetValue((column, row), out List<DotVisits>? cell))
            {
                cells.Add((column, row), cell = []);
            }

            cell.Add(made);
            return made;
        }
    }

    /// <summary>Distance to other dots.</summary>
    public double DistanceTo(DotVisits other) => Math.Sqrt((X - other.X) * (X - other.X) + (Y - other.Y) * (Y - other.Y));

    private DotVisits Add(double x, double y, DotVisits? before)
    {
        (sumX, sumY, Count) = (sumX + x, sumY + y, Count + 1);
        if (before is not null)
        {
            from[before] = from.GetValueOrDefault(before) + 1;
        }

        return this;
    }
}
