using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Units;

namespace PatternCompiler.Measure.Registration;

/// <summary>A drawing in a few bands of dose: of a dose test only some print.</summary>
internal sealed class DoseBands
{
    private const int Most = 8;
    private readonly DrawnPattern[] patterns;

    /// <summary>Of a flat drawing.</summary>
    public DoseBands(FlatLayout layout, CancellationToken cancellation)
    {
        DoseFactor[] factors = [.. layout.Groups.Where(group => group.Area.Count > 0).Select(group => group.DoseFactor).Distinct().Order()];
        int count = Math.Min(Most, factors.Length);
        patterns = count < 2 ? [] :
        [
            .. Enumerable.Range(0, count).Select(band => DrawnPattern.OfAreas(RegionBoolean.Merge(
                Rings(layout, [.. factors.Where((_, i) => i * count / factors.Length == band)]), cancellation: cancellation))),
        ];
    }

    /// <summary>Number of bands; 0 where all has one dose.</summary>
    public int Count => patterns.Length;

    /// <summary>What is drawn of a band.</summary>
    public DrawnPattern Pattern(int band) => patterns[band];

    private static ContourSet Rings(FlatLayout layout, HashSet<DoseFactor> factors)
    {
        var rings = new ContourSetBuilder();
        foreach (FlatLayer group in layout.Groups.Where(group => factors.Contains(group.DoseFactor)))
        {
            for (int i = 0; i < group.Area.Count; i++)
            {
                rings.AddRing(group.Area[i]);
            }
        }

        return rings.ToContourSet();
    }
}
