namespace PatternCompiler.Passes.Order;

/// <summary>
/// A ring of items, each with a direction. An item at a place is known by the endpoint at which it is entered; its other
/// endpoint (the number with the last bit inverted) is where it is left.
/// </summary>
internal sealed class Tour
{
    private readonly int[] entered;
    private readonly int[] places;

    public Tour(int[] order)
    {
        entered = order;
        places = new int[order.Length];
        for (int i = 0; i < order.Length; i++)
        {
            places[order[i] >> 1] = i;
        }
    }

    public int Count => entered.Length;

    /// <summary>Places of the stretches that were reversed, in order, if recording is on; reversing them again backwards undoes everything.</summary>
    public List<(int From, int To)> Log { get; } = [];

    /// <summary>Whether <see cref="Log"/> is kept.</summary>
    public bool IsRecording { get; set; }

    /// <summary>Where the item at a place is entered.</summary>
    public int At(int place) => entered[place];

    public int PlaceOf(int endpoint) => places[endpoint >> 1];

    /// <summary>True if the ring is left at this endpoint, false if its item is entered there.</summary>
    public bool IsLeftAt(int endpoint) => entered[places[endpoint >> 1]] != endpoint;

    /// <summary>
    /// The endpoint linked to this one: where the next item is entered if this is an exit, where the item before is left
    /// if it is an entry.
    /// </summary>
    public int Linked(int endpoint)
    {
        int place = places[endpoint >> 1];
        if (entered[place] == endpoint)
        {
            return entered[place == 0 ? entered.Length - 1 : place - 1] ^ 1;
        }

        return entered[place + 1 == entered.Length ? 0 : place + 1];
    }

    /// <summary>Number of items from one to another in the direction in which the first endpoint is an exit, both included.</summary>
    public int Span(int fromItemEndpoint, int toItemEndpoint, bool forward)
    {
        int from = PlaceOf(fromItemEndpoint);
        int to = PlaceOf(toItemEndpoint);
        int span = forward ? to - from : from - to;
        return (span < 0 ? span + entered.Length : span) + 1;
    }

    /// <summary>
    /// Replaces the links a–b and c–d by a–c and b–d, where going away from a through b comes to c and then to d: turns
    /// the stretch from b to c round, or, which is the same ring, the rest.
    /// </summary>
    public void Turn(int a, int b, int c)
    {
        bool forward = IsLeftAt(a);
        if (forward)
        {
            Reverse(PlaceOf(b), PlaceOf(c));
        }
        else
        {
            Reverse(PlaceOf(c), PlaceOf(b));
        }
    }

    /// <summary>Undoes what was recorded.</summary>
    public void Undo()
    {
        for (int i = Log.Count - 1; i >= 0; i--)
        {
            ReverseInside(Log[i].From, Log[i].To);
        }

        Log.Clear();
    }

    private void Reverse(int from, int to)
    {
        int inside = to - from + 1;
        inside = inside <= 0 ? inside + entered.Length : inside;
        if (2 * inside > entered.Length)
        {
            (from, to) = (to + 1 == entered.Length ? 0 : to + 1, from == 0 ? entered.Length - 1 : from - 1);
        }

        if (IsRecording)
        {
            Log.Add((from, to));
        }

        ReverseInside(from, to);
    }

    private void ReverseInside(int from, int to)
    {
        int inside = to - from + 1;
        inside = inside <= 0 ? inside + entered.Length : inside;
        if (inside > entered.Length)
        {
            return;
        }

        for (int left = inside / 2; left > 0; left--)
        {
            int first = entered[from] ^ 1;
            int second = entered[to] ^ 1;
            entered[from] = second;
            entered[to] = first;
            places[second >> 1] = from;
            places[first >> 1] = to;
            from = from + 1 == entered.Length ? 0 : from + 1;
            to = to == 0 ? entered.Length - 1 : to - 1;
        }

        if ((inside & 1) == 1)
        {
            entered[from] ^= 1;
        }
    }
}
