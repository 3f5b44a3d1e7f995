namespace PatternCompiler.Pictures.Plots;

/// <summary>Leaves out labels that would touch their neighbour.</summary>
internal static class TickLabels
{
    private const double Gap = 6;

    /// <summary>The labels that have room, in their order; each takes an extent about its place along the axis, in pixels.</summary>
    public static IEnumerable<(double Place, string Label)> WithRoom(IEnumerable<(double Place, string Label)> labels, Func<string, double> extent)
    {
        var taken = (From: double.NaN, To: double.NaN);
        foreach ((double place, string label) in labels)
        {
            double half = extent(label) / 2;
            if (place - half < taken.To + Gap && place + half > taken.From - Gap)
            {
                continue;
            }

            taken = (place - half, place + half);
            yield return (place, label);
        }
    }
}
