using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Geometry.Recurrence;

/// <summary>
/// Sorts boxes into islands: boxes that meet, and those that meet them in turn, are of one island; between two islands lies
/// at least one grid step. A line sweeps upward over the boxes and keeps stretches of x that do not meet, each with
/// the height to which it reaches; a tree over the boxes' left sides finds the stretches that a new box meets. Two
/// boxes that do not meet may land in one island, boxes that do never in two.
/// </summary>
internal sealed class BoxIslands
{
    private const int None = -1;
    private const int Nothing = int.MinValue;

    private readonly GridBox[] boxes;
    private readonly int[] island;

    // By rank of the left sides: the right side of the stretch that begins there (largest in every subtree), how high it
    // reaches, and one of its boxes.
    private readonly int leaves;
    private readonly int[] largestRight;
    private readonly int[] top;
    private readonly int[] member;

    private BoxIslands(GridBox[] boxes)
    {
        this.boxes = boxes;
        island = new int[boxes.Length];
        leaves = (int)System.Numerics.BitOperations.RoundUpToPowerOf2((uint)Math.Max(boxes.Length, 1));
        largestRight = new int[2 * leaves];
        Array.Fill(largestRight, Nothing);
        top = new int[boxes.Length];
        member = new int[boxes.Length];
    }

    /// <summary>For every box the smallest index of its island's boxes. No box may be empty.</summary>
    public static int[] Find(GridBox[] boxes)
    {
        var search = new BoxIslands(boxes);
        search.Run();
        return search.island;
    }

    private void Run()
    {
        int[] byLeft = Order(Keys(box => box.XLeft, _ => 0));
        int[] byBottom = Order(Keys(box => box.YBottom, box => box.XLeft));
        int[] rank = new int[boxes.Length];
        int[] sortedLefts = new int[boxes.Length];
        for (int i = 0; i < byLeft.Length; i++)
        {
            rank[byLeft[i]] = i;
            sortedLefts[i] = boxes[byLeft[i]].XLeft;
            island[i] = i;
        }

        foreach (int box in byBottom)
        {
            Insert(box, rank[box], sortedLefts);
        }

        for (int i = 0; i < island.Length; i++)
        {
            island[i] = LeadOf(i);
        }
    }

    private void Insert(int index, int place, int[] sortedLefts)
    {
        GridBox box = boxes[index];
        int right = box.XRight, height = box.YTop;
        int last = UpperBound(sortedLefts, box.XRight) - 1;
        for (int met = FindLast(last, box.XLeft); met != None; met = FindLast(last, box.XLeft))
        {
            if (top[met] >= box.YBottom)
            {
                Join(index, member[met]);
                place = Math.Min(place, met);
                right = Math.Max(right, largestRight[leaves + met]);
                height = Math.Max(height, top[met]);
            }

            SetRight(met, Nothing);
        }

        top[place] = height;
        member[place] = index;
        SetRight(place, right);
    }

    /// <summary>The last stretch up to a rank that reaches an x coordinate.</summary>
    private int FindLast(int rank, int x)
    {
        int node = leaves + rank;
        if (largestRight[node] >= x)
        {
            return rank;
        }

        for (; node > 1; node >>= 1)
        {
            if ((node & 1) != 0 && largestRight[node - 1] >= x)
            {
                node--;
                while (node < leaves)
                {
                    node = (2 * node) + (largestRight[(2 * node) + 1] >= x ? 1 : 0);
                }

                return node - leaves;
            }
        }

        return None;
    }

    private void SetRight(int rank, int right)
    {
        int node = leaves + rank;
        largestRight[node] = right;
        for (node >>= 1; node > 0; node >>= 1)
        {
            largestRight[node] = Math.Max(largestRight[2 * node], largestRight[(2 * node) + 1]);
        }
    }

    private ulong[] Keys(Func<GridBox, int> first, Func<GridBox, int> second)
    {
        var keys = new ulong[boxes.Length];
        for (int i = 0; i < keys.Length; i++)
        {
            keys[i] = PixelKey.Pack(second(boxes[i]), first(boxes[i]));
        }

        return keys;
    }

    private static int[] Order(ulong[] keys) => new RadixSort().Order(keys).ToArray();

    private static int UpperBound(int[] sorted, int value)
    {
        int low = 0, high = sorted.Length;
        while (low < high)
        {
            int middle = (low + high) >>> 1;
            if (sorted[middle] <= value)
            {
                low = middle + 1;
            }
            else
            {
                high = middle;
            }
        }

        return low;
    }

    private int LeadOf(int box)
    {
        while (island[box] != box)
        {
            island[box] = island[island[box]];
            box = island[box];
        }

        return box;
    }

    private void Join(int a, int b)
    {
        a = LeadOf(a);
        b = LeadOf(b);
        island[Math.Max(a, b)] = Math.Min(a, b);
    }
}
