namespace PatternCompiler.Prediction.Shapes;

/// <summary>
/// Finds the places at which some carriers join regions of the other pattern. The part of a carrier that lies on no region of
/// its sort (a bridge with the seams of edges that print too wide) is a graph of stretches of rows. Spreading through it from
/// every region that it touches, step by step, regions meet in the narrow middle of what joins them.
/// </summary>
internal sealed class JoinFinder
{
    private const int NoLabel = int.MinValue;
    private readonly JoinRole role;
    private readonly IReadOnlySet<int> carriers;
    private readonly IReadOnlyDictionary<int, int> joinable;
    private readonly Func<RowStretch, bool> isLeftOut;
    private readonly int step;
    private readonly List<Node> nodes = [];
    private readonly List<(int A, int B)> links = [];
    private List<int>?[] neighbours = [];
    private List<(RowStretch Stretch, int Node)> before = [];
    private List<(RowStretch Stretch, int Node)> here = [];

    /// <summary>Prepares the search.</summary>
    /// <param name="role">What joins what.</param>
    /// <param name="carriers">Rings of the carriers that join regions.</param>
    /// <param name="joinable">Regions that count as one, by ring; others count for themselves.</param>
    /// <param name="isLeftOut">Stretches that are part of another fault.</param>
    /// <param name="step">Distance of rows.</param>
    public JoinFinder(
        JoinRole role, IReadOnlySet<int> carriers, IReadOnlyDictionary<int, int> joinable, Func<RowStretch, bool> isLeftOut, int step) =>
        (this.role, this.carriers, this.joinable, this.isLeftOut, this.step) = (role, carriers, joinable, isLeftOut, step);

    private sealed class Node
    {
        public required int Row { get; init; }

        public required int Carrier { get; init; }

        public required double Left { get; init; }

        public required double Right { get; init; }

        /// <summary>The region that it belongs to by now.</summary>
        public int Label { get; set; } = NoLabel;

        /// <summary>It touches the region itself.</summary>
        public bool IsTouching { get; set; }

        /// <summary>It touches two.</summary>
        public bool IsJoint { get; set; }
    }

    /// <summary>Takes the next row.</summary>
    public void Add(int row, List<RowStretch> stretches)
    {
        (before, here) = (here, before);
        here.Clear();
        foreach (RowStretch stretch in stretches)
        {
            Region carrier = role.CarrierOf(stretch);
            if (carrier.IsArea != role.IsArea || !carriers.Contains(carrier.Ring) || isLeftOut(stretch))
            {
                continue;
            }

            int node = -1;
            if (role.OtherOf(stretch).IsArea != role.IsArea)
            {
                node = nodes.Count;
                nodes.Add(new Node { Row = row, Carrier = carrier.Ring, Left = stretch.Left, Right = stretch.Right });
            }

            if (here.Count > 0 && here[^1].Stretch.Right == stretch.Left)
            {
                Meet(here[^1], (stretch, node));
            }

            here.Add((stretch, node));
        }

        int below = 0;
        foreach ((RowStretch Stretch, int Node) item in here)
        {
            while (below < before.Count && before[below].Stretch.Right <= item.Stretch.Left)
            {
                below++;
            }

            for (int i = below; i < before.Count && before[i].Stretch.Left < item.Stretch.Right; i++)
            {
                Meet(before[i], item);
            }
        }
    }

    /// <summary>Carriers for which <see cref="Places"/> has found none: what joins is finer than the rows.</summary>
    public HashSet<int> Unplaced { get; private set; } = [];

    /// <summary>The places, in grid steps: from below, then from the left.</summary>
    public List<SampleWindow> Places()
    {
        Spread();
        Unplaced = [.. carriers];
        var boxes = new List<SampleWindow>();
        var open = new Queue<(int Node, double Width)>();
        foreach ((int a, int b) in links)
        {
            if (nodes[a].Label != nodes[b].Label && !nodes[a].IsJoint && !nodes[b].IsJoint)
            {
                (double left, double right) = (Math.Max(nodes[a].Left, nodes[b].Left), Math.Min(nodes[a].Right, nodes[b].Right));
                boxes.Add(new SampleWindow(left, nodes[a].Row, right, nodes[b].Row));
                open.Enqueue((a, right - left));
                open.Enqueue((b, right - left));
                Unplaced.Remove(nodes[a].Carrier);
            }
        }

        for (int i = 0; i < nodes.Count; i++)
        {
            if (nodes[i].IsJoint)
            {
                boxes.Add(BoxOf(nodes[i]));
                Unplaced.Remove(nodes[i].Carrier);
            }
        }

        Grow(open, boxes);
        return [.. WindowClusters.Of(boxes, step).Select(cluster => cluster.Window).OrderBy(box => box.Bottom).ThenBy(box => box.Left)];
    }

    /// <summary>
    /// From where regions meet, up and down through stretches of about the same width: the seams along edges that print too
    /// wide or too narrow, longer or shorter by far, are no part of the place.
    /// </summary>
    private void Grow(Queue<(int Node, double Width)> open, List<SampleWindow> boxes)
    {
        var isSeen = new bool[nodes.Count];
        while (open.TryDequeue(out (int Node, double Width) at))
        {
            double width = nodes[at.Node].Right - nodes[at.Node].Left;
            if (isSeen[at.Node] || nodes[at.Node].IsJoint || width > 2 * at.Width || width < at.Width / 2)
            {
                continue;
            }

            isSeen[at.Node] = true;
            boxes.Add(BoxOf(nodes[at.Node]));
            foreach (int next in neighbours[at.Node] ?? [])
            {
                open.Enqueue((next, at.Width));
            }
        }
    }

    private static SampleWindow BoxOf(Node node) => new(node.Left, node.Row, node.Right, node.Row);

    private void Meet((RowStretch Stretch, int Node) a, (RowStretch Stretch, int Node) b)
    {
        if (a.Node >= 0 && b.Node >= 0)
        {
            links.Add((a.Node, b.Node));
        }
        else if (a.Node >= 0)
        {
            Touch(nodes[a.Node], b.Stretch);
        }
        else if (b.Node >= 0)
        {
            Touch(nodes[b.Node], a.Stretch);
        }
    }

    private void Touch(Node node, in RowStretch stretch)
    {
        int ring = role.OtherOf(stretch).Ring;
        int label = joinable.GetValueOrDefault(ring, ring);
        node.IsJoint |= node.IsTouching && node.Label != label;
        node.Label = node.IsTouching ? node.Label : label;
        node.IsTouching = true;
    }

    private void Spread()
    {
        neighbours = new List<int>?[nodes.Count];
        foreach ((int a, int b) in links)
        {
            (neighbours[a] ??= []).Add(b);
            (neighbours[b] ??= []).Add(a);
        }

        var open = new Queue<int>(Enumerable.Range(0, nodes.Count).Where(i => nodes[i].IsTouching));
        while (open.TryDequeue(out int at))
        {
            foreach (int next in neighbours[at] ?? [])
            {
                if (nodes[next].Label == NoLabel)
                {
                    nodes[next].Label = nodes[at].Label;
                    open.Enqueue(next);
                }
            }
        }
    }
}
