using System.Globalization;
using PatternCompiler.Geometry;

namespace PatternCompiler.Benchmarks.Geometry;

/// <summary>Real outlines: the coastlines that the tests read (source and licence at the head of their file).</summary>
internal static class Coastlines
{
    private const int Step = 100;

    /// <summary>So many copies of all land, each moved a little further, so that coasts cross everywhere.</summary>
    public static ContourSet Overlaid(int copies)
    {
        GridPoint[][] outlines = [.. File.ReadLines(Path.Combine(AppContext.BaseDirectory, "Data", "coastline-110m.txt"))
            .Where(line => !line.StartsWith('#'))
            .Select(Read)];
        var rings = new ContourSetBuilder();
        for (int copy = 0; copy < copies; copy++)
        {
            foreach (GridPoint[] outline in outlines)
            {
                rings.AddRing([.. outline.Select(point => new GridPoint(point.X + (copy * 1237), point.Y + (copy * copy * 89)))]);
            }
        }

        return rings.ToContourSet();
    }

    /// <summary>A ring, counter-clockwise, or clockwise for a hole.</summary>
    private static GridPoint[] Read(string line)
    {
        bool isHole = line.StartsWith("hole ", StringComparison.Ordinal);
        int[] numbers = [.. (isHole ? line[5..] : line).Split(' ').Select(word => int.Parse(word, CultureInfo.InvariantCulture))];
        GridPoint[] ring = [.. numbers.Chunk(2).Select(pair => new GridPoint(pair[0] * Step, pair[1] * Step))];
        if (ExactArea.Twice(ring) > 0 == isHole)
        {
            Array.Reverse(ring);
        }

        return ring;
    }
}
