namespace PatternCompiler.Geometry.Recurrence;

/// <summary>
/// Takes an area apart into islands and finds those that are the same but for a move: a sweep then makes the same of them
/// but for this move, and need be made once only.
/// </summary>
internal sealed class RecurringParts
{
    /// <summary>Points that a part must save to be swept by itself rather than together with all that occurs once.</summary>
    private const long LeastPointsSaved = 256;

    private RecurringParts(ContourSet[] parts, MovedCopy[] copies)
    {
        Parts = parts;
        Copies = copies;
    }

    /// <summary>First what occurs once, then each part that occurs several times, where it occurs first.</summary>
    public ContourSet[] Parts { get; }

    /// <summary>Where the parts occur; which of their items, is yet to be said.</summary>
    public MovedCopy[] Copies { get; }

    /// <summary>The parts of an area, or null where this would not save half of its points.</summary>
    public static RecurringParts? Find(ContourSet rings)
    {
        ulong[] hashes = RingHash.OfAll(rings);
        if (rings.Count < 2 || !RingHash.MostRecur(rings, hashes) || !HasPointsInAll(rings))
        {
            return null;
        }

        RingIslands islands = RingIslands.Find(rings, hashes);
        int[] models = FindModels(islands);
        int[] parts = NumberParts(rings, islands, models, out int partCount);
        return partCount == 1 ? null : Divide(rings, islands, models, parts, partCount);
    }

    private static bool HasPointsInAll(ContourSet rings)
    {
        for (int r = 0; r < rings.Count; r++)
        {
            if (rings[r].IsEmpty)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>Of every island the first one that is the same.</summary>
    private static int[] FindModels(RingIslands islands)
    {
        var models = new int[islands.Count];
        var byHash = new Dictionary<ulong, int>();
        for (int island = 0; island < models.Length; island++)
        {
            ulong hash = islands.HashOf(island);
            models[island] = island;
            if (!byHash.TryAdd(hash, island))
            {
                int model = byHash[hash];
                models[island] = islands.AreSame(model, island) ? model : island;
            }
        }

        return models;
    }

    /// <summary>The part of every model: 0 unless it pays to sweep it by itself.</summary>
    private static int[] NumberParts(ContourSet rings, RingIslands islands, int[] models, out int partCount)
    {
        var repeats = new int[islands.Count];
        foreach (int model in models)
        {
            repeats[model]++;
        }

        var parts = new int[islands.Count];
        long saved = 0;
        partCount = 1;
        for (int island = 0; island < parts.Length; island++)
        {
            long saves = repeats[island] < 2 ? 0 : (repeats[island] - 1) * (long)islands.PointCount(island);
            if (saves >= LeastPointsSaved)
            {
                parts[island] = partCount++;
                saved += saves;
            }
        }

        partCount = saved * 2 < rings.PointCount ? 1 : partCount;
        return parts;
    }

    private static RecurringParts Divide(ContourSet rings, RingIslands islands, int[] models, int[] parts, int partCount)
    {
        var builders = new ContourSetBuilder[partCount];
        builders[0] = new ContourSetBuilder();
        var copies = new List<MovedCopy> { new(0, 0, 0, 0, 0) };
        for (int island = 0; island < models.Length; island++)
        {
            int model = models[island];
            int part = parts[model];
            if (part == 0 || island == model)
            {
                ContourSetBuilder builder = builders[part] ??= new ContourSetBuilder();
                foreach (int ring in islands.Rings(island))
                {
                    builder.AddRing(rings[ring]);
                }
            }

            if (part > 0)
            {
                GridPoint from = islands.Origin(model), to = islands.Origin(island);
                copies.Add(new MovedCopy(part, to.X - from.X, to.Y - from.Y, 0, 0));
            }
        }

        return new RecurringParts([.. builders.Select(builder => builder.ToContourSet())], [.. copies]);
    }
}
