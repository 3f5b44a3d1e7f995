namespace PatternCompiler.Passes.Order;

/// <summary>
/// Shortens a ring of items: turns stretches round (2-opt) and moves short stretches elsewhere (Or-opt) wherever a near
/// neighbour makes it worthwhile; then shakes it at many places, repairs each and keeps what came out shorter (iterated
/// local search). Deterministic; the number of trials limits the work.
/// </summary>
internal sealed class TourImprovement
{
    private const int LongestMovedStretch = 3;
    private const int LongestShakenStretch = 30;

    // Longer stretches are not turned round while shaking: it costs more than it brings.
    private const int LongestTurnWhenShaking = 1000;

    private readonly Endpoints endpoints;
    private readonly NeighbourTable near;
    private readonly bool allowsReversal;
    private readonly Tour tour;
    private readonly Queue<int> waiting = new();
    private readonly bool[] isWaiting;
    private readonly double leastGain;
    private int longestTurn;
    private ulong random = 0x9E3779B97F4A7C15;

    public TourImprovement(Endpoints endpoints, NeighbourTable near, Tour tour, bool allowsReversal, double scale)
    {
        this.endpoints = endpoints;
        this.near = near;
        this.tour = tour;
        this.allowsReversal = allowsReversal;
        isWaiting = new bool[endpoints.ItemCount];

        // Gains below rounding would go back and forth for ever.
        leastGain = scale * 1e-12;
    }

    private enum Move
    {
        Turn,
        InsertForward,
        InsertReversed,
    }

    /// <summary>Improves until nothing helps any more, then shakes.</summary>
    public void Run(long trials, CancellationToken cancellation)
    {
        longestTurn = int.MaxValue;
        for (int place = 0; place < tour.Count; place++)
        {
            Wait(tour.At(place));
        }

        Settle(cancellation);
        if (tour.Count < 8)
        {
            return;
        }

        longestTurn = LongestTurnWhenShaking;
        tour.IsRecording = true;
        for (long trial = 0; trial < trials; trial++)
        {
            if ((trial & 1023) == 0)
            {
                cancellation.ThrowIfCancellationRequested();
            }

            double gain = Shake() + Settle(cancellation);
            if (gain < 0)
            {
                tour.Undo();
            }

            tour.Log.Clear();
        }

        tour.IsRecording = false;
    }

    /// <summary>Exchanges two short neighbouring stretches somewhere.</summary>
    private double Shake()
    {
        int longest = Math.Min(LongestShakenStretch, (tour.Count - 2) / 2);
        int place = (int)(Random() % (ulong)tour.Count);
        int first = 1 + (int)(Random() % (ulong)longest);
        int second = 1 + (int)(Random() % (ulong)longest);
        int a = ExitAt(place);
        int b = tour.Linked(a);
        int y = ExitAt(place + first);
        int c = tour.Linked(y);
        int z = ExitAt(place + first + second);
        int w = tour.Linked(z);
        double gain = Length(a, b) + Length(y, c) + Length(z, w) - Length(a, c) - Length(z, b) - Length(y, w);
        InsertForward(c, z, a, b);
        foreach (int endpoint in (ReadOnlySpan<int>)[a, b, y, c, z, w])
        {
            Wait(endpoint);
        }

        return gain;
    }

    private int ExitAt(int place) => tour.At(place % tour.Count) ^ 1;

    private double Settle(CancellationToken cancellation)
    {
        double gain = 0;
        int steps = 0;
        while (waiting.TryDequeue(out int item))
        {
            if ((++steps & 4095) == 0)
            {
                cancellation.ThrowIfCancellationRequested();
            }

            isWaiting[item] = false;
            double better;
            while ((better = TryImprove(2 * item)) > 0 || (better = TryImprove(2 * item + 1)) > 0)
            {
                gain += better;
            }
        }

        return gain;
    }

    /// <summary>Applies the best move that links an endpoint to one of its neighbours; returns what it gains, or 0.</summary>
    private double TryImprove(int a)
    {
        int b = tour.Linked(a);
        double link = Length(a, b);
        var best = new Candidate(leastGain, default, 0, 0, 0, 0);
        foreach (int c in near[a])
        {
            double gain = link - Length(a, c);
            if (gain <= leastGain)
            {
                break;
            }

            if (c == b)
            {
                continue;
            }

            int d = tour.Linked(c);
            if (tour.IsLeftAt(a) == tour.IsLeftAt(c))
            {
                if (allowsReversal)
                {
                    ConsiderTurn(ref best, a, b, c, d, gain);
                    ConsiderMoves(ref best, a, b, c, d, gain);
                }
            }
            else
            {
                ConsiderInsertions(ref best, a, b, c, d, gain);
            }
        }

        if (best.First == best.Last && best.Move == Move.Turn)
        {
            return 0;
        }

        Apply(best);
        return best.Gain;
    }

    private void ConsiderTurn(ref Candidate best, int a, int b, int c, int d, double gain)
    {
        gain += Length(c, d) - Length(b, d);
        if (gain > best.Gain && Math.Min(Distance(b, c, a), tour.Count - Distance(b, c, a)) <= longestTurn)
        {
            best = new(gain, Move.Turn, a, b, c, d);
        }
    }

    /// <summary>Moves a stretch that ends at c, or one that ends at a, next to the other end, turned round.</summary>
    private void ConsiderMoves(ref Candidate best, int a, int b, int c, int d, double gain)
    {
        double open = Length(c, d);
        int first = c ^ 1;
        for (int length = 1; length <= LongestMovedStretch && !IsSameItem(first, b) && !IsSameItem(first, a); length++)
        {
            int before = tour.Linked(first);
            double moved = gain + open + Length(before, first) - Length(first, b) - Length(before, d);
            if (moved > best.Gain && IsWithinReach(first, c, a, b))
            {
                best = new(moved, Move.InsertReversed, first, c, a, b);
            }

            first = before ^ 1;
        }

        first = a ^ 1;
        for (int length = 1; length <= LongestMovedStretch && !IsSameItem(first, d) && !IsSameItem(first, c); length++)
        {
            int before = tour.Linked(first);
            double moved = gain + open + Length(before, first) - Length(first, d) - Length(before, b);
            if (moved > best.Gain && IsWithinReach(first, a, c, d))
            {
                best = new(moved, Move.InsertReversed, first, a, c, d);
            }

            first = before ^ 1;
        }
    }

    /// <summary>Moves a stretch that starts at c to between a and b, or one that ends at a to in front of c; directions stay.</summary>
    private void ConsiderInsertions(ref Candidate best, int a, int b, int c, int y, double gain)
    {
        double open = Length(y, c);
        int last = c ^ 1;
        for (int length = 1; length <= LongestMovedStretch && !IsSameItem(last, a); length++)
        {
            int after = tour.Linked(last);
            double moved = gain + open + Length(last, after) - Length(last, b) - Length(y, after);
            if (moved > best.Gain && IsWithinReach(c, last, a, b))
            {
                best = new(moved, Move.InsertForward, c, last, a, b);
            }

            last = after ^ 1;
        }

        int first = a ^ 1;
        for (int length = 1; length <= LongestMovedStretch && !IsSameItem(first, c); length++)
        {
            int before = tour.Linked(first);
            double moved = gain + open + Length(before, first) - Length(y, first) - Length(before, b);
            if (moved > best.Gain && IsWithinReach(first, a, y, c))
            {
                best = new(moved, Move.InsertForward, first, a, y, c);
            }

            first = before ^ 1;
        }
    }

    private void Apply(in Candidate move)
    {
        switch (move.Move)
        {
            case Move.Turn:
                tour.Turn(move.First, move.Last, move.Before);
                break;
            case Move.InsertForward:
                Wait(tour.Linked(move.First));
                Wait(tour.Linked(move.Last));
                InsertForward(move.First, move.Last, move.Before, move.After);
                break;
            default:
                Wait(tour.Linked(move.First));
                Wait(tour.Linked(move.Last));
                InsertReversed(move.First, move.Last, move.Before, move.After);
                break;
        }

        Wait(move.First);
        Wait(move.Last);
        Wait(move.Before);
        Wait(move.After);
    }

    /// <summary>Takes the stretch from <paramref name="first"/> to <paramref name="last"/> out and puts it between two linked endpoints, in the same direction.</summary>
    private void InsertForward(int first, int last, int before, int after)
    {
        int p = tour.Linked(first);
        int w = tour.Linked(last);
        if (IsGapBefore(p, w, before, after))
        {
            tour.Turn(before, after, last);
            tour.Turn(before, last, first);
            tour.Turn(last, p, after);
        }
        else
        {
            tour.Turn(p, first, before);
            tour.Turn(p, before, w);
            tour.Turn(before, last, first);
        }
    }

    /// <summary>As <see cref="InsertForward"/>, turned round.</summary>
    private void InsertReversed(int first, int last, int before, int after)
    {
        int p = tour.Linked(first);
        int w = tour.Linked(last);
        if (IsGapBefore(p, w, before, after))
        {
            tour.Turn(before, after, last);
            tour.Turn(first, p, after);
        }
        else
        {
            tour.Turn(p, first, before);
            tour.Turn(p, before, w);
        }
    }

    /// <summary>In a ring the gap lies both before and after a stretch: true if the way back to it is the shorter one.</summary>
    private bool IsGapBefore(int p, int w, int before, int after)
    {
        // Going forward is the direction in which "before" is an exit.
        bool forward = tour.IsLeftAt(before);
        return tour.Span(after, p, forward) <= tour.Span(w, before, forward);
    }

    private bool IsWithinReach(int first, int last, int before, int after)
    {
        bool forward = tour.IsLeftAt(before);
        return Math.Min(tour.Span(after, tour.Linked(first), forward), tour.Span(tour.Linked(last), before, forward)) <= longestTurn;
    }

    private int Distance(int b, int c, int a) => tour.Span(b, c, tour.IsLeftAt(a));

    private double Length(int a, int b) => endpoints.Distance(a, b);

    private static bool IsSameItem(int a, int b) => a >> 1 == b >> 1;

    private void Wait(int endpoint)
    {
        int item = endpoint >> 1;
        if (!isWaiting[item])
        {
            isWaiting[item] = true;
            waiting.Enqueue(item);
        }
    }

    /// <summary>xorshift64*: the same sequence everywhere (S. Vigna, ACM Trans. Math. Softw. 42, 30 (2016)).</summary>
    private ulong Random()
    {
        random ^= random >> 12;
        random ^= random << 25;
        random ^= random >> 27;
        return (random * 0x2545F4914F6CDD1D) >> 11;
    }

    /// <summary>A turn: links First–Last and Before–After become First–Before and Last–After. An insertion: the stretch from First to Last goes between Before and After.</summary>
    private readonly record struct Candidate(double Gain, Move Move, int First, int Last, int Before, int After);
}
