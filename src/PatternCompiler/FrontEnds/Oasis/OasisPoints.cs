using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>Reads displacements and point lists (SEMI P39, 7.5 and 7.7).</summary>
/// <param name="bytes">The file.</param>
internal sealed class OasisPoints(OasisBytes bytes)
{
    // More than this many units lie beyond any grid: it keeps sums within 64 bits.
    private const long Furthest = 1L << 50;

    // Every entry of a list takes a byte or more. Longer lists, for the size of the file, come only from compressed blocks of
    // nothing but zeros.
    private const long LongestList = 4_000_000;

    // East, north, west, south, north-east, north-west, south-west, south-east.
    private static readonly OasisVector[] Directions = [new(1, 0), new(0, 1), new(-1, 0), new(0, -1), new(1, 1), new(-1, 1), new(-1, -1), new(1, -1)];

    /// <summary>A displacement in any direction.</summary>
    public OasisVector General()
    {
        long first = Limited(bytes.Unsigned());
        if ((first & 1) == 0)
        {
            return (first >> 4) * Directions[(first >> 1) & 7];
        }

        long x = first >> 2;
        return new((first & 2) == 0 ? x : -x, Limited(bytes.Signed()));
    }

    /// <summary>A multiple of a displacement.</summary>
    public OasisVector Times(long factor, OasisVector step) => new(Times(factor, step.X), Times(factor, step.Y));

    /// <summary>A sum of displacements.</summary>
    public OasisVector Sum(OasisVector a, OasisVector b) => new(Limited(a.X + b.X), Limited(a.Y + b.Y));

    /// <summary>A coordinate or distance.</summary>
    public long Coordinate() => Limited(bytes.Signed());

    /// <summary>A width, radius or spacing.</summary>
    public long Size() => Limited(bytes.Unsigned());

    /// <summary>The corners of a polygon or path after its first one, relative to that.</summary>
    /// <param name="isPolygon">In polygons of upright edges the last corner is left out: it follows from the others.</param>
    public List<OasisVector> List(bool isPolygon)
    {
        long type = bytes.Unsigned();
        int count = bytes.Count("corners");
        var points = new List<OasisVector>();
        OasisVector at = default;
        OasisVector step = default;
        for (int i = 0; i < count; i++)
        {
            step = type switch
            {
                0 or 1 => (i & 1) == (int)type ? new(Coordinate(), 0) : new(0, Coordinate()),
                2 => Directed(2),
                3 => Directed(3),
                4 => General(),
                5 => Sum(step, General()),
                _ => throw bytes.Fault($"a point list of type {type}; there are 0 to 5"),
            };
            at = Sum(at, step);
            Add(points, at);
        }

        if (isPolygon && type is 0 or 1)
        {
            if (count < 2 || (count & 1) != 0)
            {
                throw bytes.Fault($"a polygon of {count} upright edges; their number is even");
            }

            points.Add(type == 0 ? new(0, at.Y) : new(at.X, 0));
        }

        return points;
    }

    /// <summary>Adds to a list that is read.</summary>
    public void Add(List<OasisVector> list, OasisVector entry)
    {
        if (list.Count >= LongestList + bytes.Position)
        {
            throw new CompileException(
                OasisCodes.TooMany, $"a list of more than {LongestList} entries, and than bytes in the file", bytes.PlaceAt(bytes.Position), "cut the shape into smaller ones");
        }

        list.Add(entry);
    }

    private OasisVector Directed(int bits)
    {
        long value = Limited(bytes.Unsigned());
        return (value >> bits) * Directions[value & ((1 << bits) - 1)];
    }

    private long Times(long factor, long value)
    {
        Int128 product = (Int128)factor * value;
        return Limited((long)Int128.Clamp(product, long.MinValue, long.MaxValue));
    }

    private long Limited(long value) => value is >= -Furthest and <= Furthest ? value : throw bytes.Fault($"a distance of {value} units, beyond any grid");
}
