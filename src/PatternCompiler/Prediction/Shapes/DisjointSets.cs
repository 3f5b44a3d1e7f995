namespace PatternCompiler.Prediction.Shapes;

/// <summary>Which of many things hang together (R. E. Tarjan, 1975: union by the smaller name, paths halved).</summary>
internal sealed class DisjointSets
{
    private readonly List<int> lead;

    public DisjointSets(int count) => lead = [.. Enumerable.Range(0, count)];

    /// <summary>Adds a thing that hangs together with nothing yet.</summary>
    public int Add()
    {
        lead.Add(lead.Count);
        return lead.Count - 1;
    }

    /// <summary>The smallest name of what hangs together with a thing.</summary>
    public int Of(int thing)
    {
        while (lead[thing] != thing)
        {
            lead[thing] = lead[lead[thing]];
            thing = lead[thing];
        }

        return thing;
    }

    public void Join(int a, int b)
    {
        (a, b) = (Of(a), Of(b));
        lead[Math.Max(a, b)] = Math.Min(a, b);
    }
}
