using System.Runtime.InteropServices;

namespace PatternCompiler.Passes.Route;

/// <summary>
/// Finds a way for a jump that would print. Tries ways over exposed areas and around the pattern, and rests deep in exposed
/// area: a beam that is not off must not settle at a figure's edge.
/// </summary>
internal sealed class RoutePlanner(RouteArea area, RouteOptions options, RouteTrial trial)
{
    // One jump must not use up the work of all.
    private const long MostCellsOfSearch = 2_000_000;
    private readonly RouteSearch search = new(area);
    private readonly List<RouteStep> best = [];
    private readonly List<RouteStep> tried = [];

    /// <summary>The way that does least harm; the straight one if there is none better, or the work is used up.</summary>
    /// <param name="from">Where the beam is.</param>
    /// <param name="to">Where it must settle.</param>
    /// <param name="score">What the straight way does; then what the way does that was found.</param>
    public List<RouteStep> Find((double X, double Y) from, (double X, double Y) to, ref RouteScore score)
    {
        best.Clear();
        best.Add(new RouteStep(to.X, to.Y, false));
        if (search.Looks + trial.Looks >= options.MostCells)
        {
            return best;
        }

        double length = Distance(from, to);
        (double X, double Y)? shelter = area.ShelterNear(to.X, to.Y, trial.DepthForRest(length));
        TryWay(from, [], shelter, to, ref score);
        if (score.Harm == 0)
        {
            return best;
        }

        (double X, double Y) target = shelter ?? to;
        List<int> bends = search.Find(
            area.NearestCellTo(from.X, from.Y), area.NearestCellTo(target.X, target.Y), trial.DoseAtSpeed(length), Math.Min(MostCellsOfSearch, options.MostCells - search.Looks));
        if (bends.Count > 2 || (bends.Count == 2 && area.CellAt(target.X, target.Y) < 0))
        {
            // A waiting place may lie beyond the margin: then the way leads to the margin first.
            IEnumerable<int> between = area.CellAt(target.X, target.Y) < 0 ? bends.Skip(1) : bends.Skip(1).Take(bends.Count - 2);
            (double X, double Y)[] places = [from, .. between.Select(area.PlaceOf), target];
            TryWay(from, Shorten(places).AsSpan()[1..^1], shelter, to, ref score);
            TryWay(from, places.AsSpan()[1..^1], shelter, to, ref score);
        }

        return best;
    }

    /// <summary>Tries a way through places: with the beam settling at its end alone, and with it settling in a shelter first.</summary>
    private void TryWay((double X, double Y) from, ReadOnlySpan<(double X, double Y)> places, (double X, double Y)? shelter, (double X, double Y) to, ref RouteScore score)
    {
        tried.Clear();
        (double X, double Y) at = from;
        foreach ((double X, double Y) place in places)
        {
            at = Pass(at, place);
        }

        int bends = tried.Count;
        tried.Add(new RouteStep(to.X, to.Y, false));
        Take(from, ref score);
        if (trial.MayArriveAtSpeed(Distance(at, to)))
        {
            tried.RemoveRange(bends, tried.Count - bends);
            Pass(at, to);
            tried.Add(new RouteStep(to.X, to.Y, false));
            Take(from, ref score);
        }

        if (shelter is not { } rest)
        {
            return;
        }

        tried.RemoveRange(bends, tried.Count - bends);
        tried.Add(new RouteStep(rest.X, rest.Y, false));
        if (trial.MayArriveAtSpeed(Distance(rest, to)))
        {
            Pass(rest, to);
        }

        tried.Add(new RouteStep(to.X, to.Y, false));
        Take(from, ref score);
    }

    private (double X, double Y) Pass((double X, double Y) at, (double X, double Y) place)
    {
        RouteStep step = trial.PassAt(at, place);
        tried.Add(step);
        return trial.After(at, step);
    }

    private void Take((double X, double Y) from, ref RouteScore score)
    {
        RouteScore found = trial.Judge(from, CollectionsMarshal.AsSpan(tried), score.Harm);
        if (found.Harm < score.Harm)
        {
            score = found;
            best.Clear();
            best.AddRange(tried);
        }
    }

    /// <summary>Leaves out bends as far as the beam stays over area where it prints nothing.</summary>
    private (double X, double Y)[] Shorten((double X, double Y)[] places)
    {
        var kept = new List<(double X, double Y)> { places[0] };
        int at = 0;
        while (at < places.Length - 1)
        {
            int next = places.Length - 1;
            while (next > at + 1 && !IsCleanLeg(places[at], places[next]))
            {
                next = at + 1 + (next - at - 1) / 2;
            }

            kept.Add(places[next]);
            at = next;
        }

        return [.. kept];
    }

    private bool IsCleanLeg((double X, double Y) from, (double X, double Y) to) => trial.Judge(from, [trial.PassAt(from, to)], 0).Harm == 0;

    private static double Distance((double X, double Y) a, (double X, double Y) b) =>
        Math.Sqrt((a.X - b.X) * (a.X - b.X) + (a.Y - b.Y) * (a.Y - b.Y));
}
