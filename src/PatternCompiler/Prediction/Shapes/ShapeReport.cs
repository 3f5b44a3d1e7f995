using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>Every place where the printed pattern hangs together otherwise than the drawn one.</summary>
/// <param name="Faults">By kind, then from below and from the left.</param>
internal sealed record ShapeReport(ImmutableArray<ShapeFault> Faults)
{
    /// <summary>Faults of one kind that lie closer together than this are one cluster.</summary>
    public const double ClusterNanometres = 1000;

    /// <summary>What the beam prints where it rests before and after writing without a blanker; it is no fault.</summary>
    public SampleWindow? Rest { get; init; }

    /// <summary>The report with an island around a place taken for what the resting beam prints.</summary>
    public ShapeReport Resting((double X, double Y)? place)
    {
        int at = place is (double x, double y)
            ? Faults.IndexOf(Faults.FirstOrDefault(fault => fault.Kind == ShapeFaultKind.Island && fault.Window.Contains(x, y)))
            : -1;
        return at < 0 ? this : new ShapeReport(Faults.RemoveAt(at)) { Rest = Faults[at].Window };
    }

    /// <summary>Printed and drawn hang together alike.</summary>
    public bool IsSound => Faults.IsEmpty;

    /// <summary>Number of faults of one kind.</summary>
    public int Count(ShapeFaultKind kind) => Faults.Count(fault => fault.Kind == kind);

    /// <summary>The kinds that occur, in order, each with its number.</summary>
    public IEnumerable<(ShapeFaultKind Kind, int Count)> Counts() =>
        Enum.GetValues<ShapeFaultKind>().Select(kind => (kind, Count(kind))).Where(pair => pair.Item2 > 0);

    /// <summary>Faults gathered by place: by kind, then the largest number first.</summary>
    public ImmutableArray<ShapeCluster> Clusters()
    {
        var clusters = new List<ShapeCluster>();
        foreach (IGrouping<ShapeFaultKind, ShapeFault> kind in Faults.GroupBy(fault => fault.Kind))
        {
            clusters.AddRange(WindowClusters.Of([.. kind.Select(fault => fault.Window)], ClusterNanometres)
                .Select(cluster => new ShapeCluster(kind.Key, cluster.Count, cluster.Window)));
        }

        return [.. clusters.OrderBy(c => c.Kind).ThenByDescending(c => c.Count).ThenBy(c => c.Window.Bottom).ThenBy(c => c.Window.Left)];
    }
}

/// <summary>Faults of one kind that lie close together.</summary>
/// <param name="Kind">What they are.</param>
/// <param name="Count">How many.</param>
/// <param name="Window">The extent of all.</param>
internal readonly record struct ShapeCluster(ShapeFaultKind Kind, int Count, SampleWindow Window);

/// <summary>A place where the printed pattern hangs together otherwise than the drawn one.</summary>
/// <param name="Kind">How.</param>
/// <param name="Window">Its extent: of a short or an open the narrow part where areas meet or part, otherwise of the whole area.</param>
internal readonly record struct ShapeFault(ShapeFaultKind Kind, SampleWindow Window);
