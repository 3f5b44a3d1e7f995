namespace PatternCompiler.Model.Layout.Summary;

/// <summary>Counts of one cell, layer by layer, copies of other cells included.</summary>
internal sealed class CellTally
{
    private readonly SortedDictionary<int, LayerTally> layers = [];
    private LayerTally? latest;
    private int latestLayer;

    /// <summary>Bounding box of all layers; null if nothing is drawn.</summary>
    public LayoutExtent? Extent
    {
        get
        {
            LayoutExtent all = LayoutExtent.Nothing;
            foreach (LayerTally layer in layers.Values)
            {
                all = all.With(layer.Extent);
            }

            return layers.Count > 0 ? all : null;
        }
    }

    /// <summary>Adds a shape of the cell itself.</summary>
    public void Add(Shape shape) => Layer(shape.Layer).Add(shape);

    /// <summary>Adds the copies that an instance makes of another cell.</summary>
    public void Add(Instance instance, CellTally cell)
    {
        foreach ((int layer, LayerTally tally) in cell.layers)
        {
            Layer(layer).Add(instance, tally);
        }
    }

    /// <summary>The counts of one layer.</summary>
    public LayerSummary ToSummary(string name, int layer, double nanometresPerStep)
    {
        if (!layers.TryGetValue(layer, out LayerTally? tally))
        {
            return new(name, 0, 0, 0, 0, 0, 0, 0, 0, null, null, 0, 1, 1);
        }

        double[] k = tally.Kinds;
        double? smallest = double.IsFinite(tally.SmallestFeature) ? tally.SmallestFeature * nanometresPerStep : null;
        return new(
            name, k[0], k[1], k[2], k[3], k[4], k[5], k[6],
            tally.Corners, tally.Extent, smallest, tally.Unmeasured, tally.LowestDose, tally.HighestDose);
    }

    // Shapes of one layer often follow each other.
    private LayerTally Layer(int layer)
    {
        if (latest is { } known && latestLayer == layer)
        {
            return known;
        }

        if (!layers.TryGetValue(layer, out LayerTally? tally))
        {
            layers.Add(layer, tally = new LayerTally());
        }

        (latest, latestLayer) = (tally, layer);
        return tally;
    }
}
