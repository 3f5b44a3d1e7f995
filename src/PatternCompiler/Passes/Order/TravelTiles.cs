using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Order;

/// <summary>
/// Divides many items into rectangular tiles of about the same number, so that each can be ordered on its own: strips from left
/// to right, each cut from bottom to top, visited as a meander from the corner nearest to the start. Where one tile hands over to
/// the next there is a gate, in the middle of the side that they share.
/// </summary>
internal sealed class TravelTiles
{
    private const int ItemBits = 32;

    // A tile may have so much fewer or more items than its share.
    private const int PartOfSlack = 16;

    private readonly int[] items;
    private readonly Tile[] tiles;

    private TravelTiles(int[] items, Tile[] tiles) => (this.items, this.tiles) = (items, tiles);

    /// <summary>Number of tiles.</summary>
    public int Count => tiles.Length;

    /// <summary>The items of a tile, in no order of meaning.</summary>
    public ReadOnlySpan<int> ItemsOf(int tile) => items.AsSpan(tiles[tile].First, tiles[tile].Count);

    /// <summary>Place of a tile's first item among those of all tiles.</summary>
    public int FirstOf(int tile) => tiles[tile].First;

    /// <summary>All other tiles, the nearest first.</summary>
    public OtherTile[] Others(int tile)
    {
        TravelBox own = tiles[tile].Box;
        return [.. tiles.Where((_, i) => i != tile).Select(other => new OtherTile(own.DistanceTo(other.Box), other.Box)).OrderBy(other => other.Gap)];
    }

    /// <summary>Where the beam comes into a tile from the one before; null for the first.</summary>
    public (double X, double Y)? EntryOf(int tile) => tile == 0 ? null : tiles[tile - 1].Exit;

    /// <summary>Where the beam leaves a tile for the next one; null for the last.</summary>
    public (double X, double Y)? ExitOf(int tile) => tile == tiles.Length - 1 ? null : tiles[tile].Exit;

    /// <summary>Divides items.</summary>
    /// <param name="travel">The items.</param>
    /// <param name="start">Where the beam stands, or null.</param>
    /// <param name="most">The most items of a tile.</param>
    public static TravelTiles Divide(ReadOnlyMemory<TravelItem> travel, (double X, double Y)? start, int most)
    {
        TravelBox all = TravelBox.Of(travel.Span);
        bool startsRight = start?.X > all.CentreX;
        bool startsAbove = start?.Y > all.CentreY;
        double wanted = Math.Ceiling((double)travel.Length / most);
        int strips = (int)Math.Clamp(Math.Round(Math.Sqrt(wanted * all.Width / Math.Max(all.Height, double.Epsilon))), 1, wanted);
        ulong[] keys = new ulong[travel.Length];
        for (int i = 0; i < keys.Length; i++)
        {
            keys[i] = Key(travel.Span[i].CentreX, all.Left, all.Right, startsRight, i);
        }

        ulong[] scratch = GC.AllocateUninitializedArray<ulong>(keys.Length);
        PackedSort.Sort(keys, scratch, ItemBits, 64);
        int[] ends = [.. Enumerable.Range(1, strips).Select(part => CutNear(keys, part, strips))];
        var division = new Division(travel, all, most, keys, scratch, new int[keys.Length]);
        var tiles = new List<Tile>[strips];
        Parallel.For(0, strips, strip => tiles[strip] = division.CutStrip(strip == 0 ? 0 : ends[strip - 1], ends[strip], startsAbove ^ (strip % 2 == 1)));
        return new TravelTiles(division.Items, [.. tiles.SelectMany(own => own)]);
    }

    /// <summary>Sorts by place, to a four thousand millionth of the whole.</summary>
    private static ulong Key(double place, double low, double high, bool backwards, int item)
    {
        double part = high > low ? (place - low) / (high - low) : 0;
        ulong steps = (ulong)(uint.MaxValue * (backwards ? 1 - part : part));
        return (steps << ItemBits) | (uint)item;
    }

    private static int ItemOf(ulong key) => (int)(uint)key;

    /// <summary>
    /// Where sorted items are cut behind a part: at the widest gap near its even share, so that what lies close together, such as the
    /// figures of one shape, comes into one tile.
    /// </summary>
    private static int CutNear(ReadOnlySpan<ulong> keys, int part, int parts)
    {
        int even = (int)((long)keys.Length * part / parts);
        if (part == parts)
        {
            return even;
        }

        int slack = keys.Length / parts / PartOfSlack;
        int best = even;
        for (int cut = even - slack; cut <= even + slack; cut++)
        {
            if (GapBefore(keys, cut) > GapBefore(keys, best))
            {
                best = cut;
            }
        }

        return best;
    }

    private static ulong GapBefore(ReadOnlySpan<ulong> keys, int place) => (keys[place] >> ItemBits) - (keys[place - 1] >> ItemBits);

    /// <summary>Items that are being divided, with their keys and places that strips share.</summary>
    private sealed record Division(ReadOnlyMemory<TravelItem> Travel, TravelBox All, int Most, ulong[] Keys, ulong[] Scratch, int[] Items)
    {
        /// <summary>Cuts a strip into tiles; the order of its keys changes.</summary>
        public List<Tile> CutStrip(int firstOfStrip, int endOfStrip, bool downwards)
        {
            ReadOnlySpan<TravelItem> travel = Travel.Span;
            Span<ulong> own = Keys.AsSpan(firstOfStrip, endOfStrip - firstOfStrip);
            double from = travel[ItemOf(own[0])].CentreX;
            double to = travel[ItemOf(own[^1])].CentreX;
            foreach (ref ulong key in own)
            {
                int item = ItemOf(key);
                key = Key(travel[item].CentreY, All.Bottom, All.Top, downwards, item);
            }

            PackedSort.Sort(own, Scratch.AsSpan(firstOfStrip, own.Length), ItemBits, 64);
            int cuts = (own.Length + Most - 1) / Most;
            var tiles = new List<Tile>(cuts);
            int start = 0;
            for (int cut = 0; cut < cuts; cut++)
            {
                int end = CutNear(own, cut + 1, cuts);
                TravelBox box = default;
                for (int i = start; i < end; i++)
                {
                    int item = ItemOf(own[i]);
                    Items[firstOfStrip + i] = item;
                    box = i == start ? TravelBox.Of(travel[item]) : box.With(TravelBox.Of(travel[item]));
                }

                // The last tile of a strip is left to the side, the others upwards or downwards.
                double middle = (travel[ItemOf(own[start])].CentreY + travel[ItemOf(own[end - 1])].CentreY) / 2;
                (double X, double Y) exit = end == own.Length
                    ? (to, middle)
                    : ((from + to) / 2, (travel[ItemOf(own[end - 1])].CentreY + travel[ItemOf(own[end])].CentreY) / 2);
                tiles.Add(new(firstOfStrip + start, end - start, exit, box));
                start = end;
            }

            return tiles;
        }
    }

    private readonly record struct Tile(int First, int Count, (double X, double Y) Exit, TravelBox Box);
}

/// <summary>Another tile.</summary>
/// <param name="Gap">How far its box is from that of the tile that looks.</param>
/// <param name="Box">Around both ends of all its items.</param>
internal readonly record struct OtherTile(double Gap, TravelBox Box);
