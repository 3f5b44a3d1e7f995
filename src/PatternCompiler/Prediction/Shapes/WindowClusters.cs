namespace PatternCompiler.Prediction.Shapes;

/// <summary>Gathers windows that lie close together.</summary>
internal static class WindowClusters
{
    /// <summary>Windows that a chain of others links, each no farther from the next than a distance; in a fixed order.</summary>
    public static IEnumerable<(int Count, SampleWindow Window)> Of(List<SampleWindow> windows, double distance)
    {
        SampleWindow[] upward = [.. windows.OrderBy(window => window.Bottom).ThenBy(window => window.Left)];
        var sets = new DisjointSets(upward.Length);
        var open = new List<int>();
        for (int i = 0; i < upward.Length; i++)
        {
            SampleWindow near = upward[i].Widened(distance);
            open.RemoveAll(other => upward[other].Top < near.Bottom);
            foreach (int other in open)
            {
                if (near.Meets(upward[other]))
                {
                    sets.Join(other, i);
                }
            }

            open.Add(i);
        }

        return Enumerable.Range(0, upward.Length).GroupBy(sets.Of)
            .Select(group => (group.Count(), group.Select(i => upward[i]).Aggregate((a, b) => a.With(b))));
    }
}
