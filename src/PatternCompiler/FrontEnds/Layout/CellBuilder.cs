using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>A cell under construction.</summary>
/// <param name="name">Its name; empty for the drawing itself.</param>
/// <param name="place">Where its definition starts; null for the drawing itself.</param>
internal sealed class CellBuilder(string name, SourcePlace? place)
{
    private readonly HashSet<string> placedNames = new(StringComparer.Ordinal);

    /// <summary>Its name; empty for the drawing itself.</summary>
    public string Name => name;

    /// <summary>Where its definition starts.</summary>
    public SourcePlace? Place => place;

    /// <summary>Shapes in drawing order.</summary>
    public List<Shape> Shapes { get; } = [];

    /// <summary>Placed cells in drawing order.</summary>
    public List<Instance> Instances { get; } = [];

    /// <summary>The different cells placed, with the fault to report if such a cell is missing or part of a circle.</summary>
    public List<CellReference> References { get; } = [];

    /// <summary>Adds a placed cell; the reference is made only for the first placement of that cell.</summary>
    public void AddInstance(Instance instance, in LineScanner scanner, int position)
    {
        Instances.Add(instance);
        if (placedNames.Add(instance.CellName))
        {
            References.Add(new(instance.CellName, scanner.PlaceOf(position), System.Text.Encoding.UTF8.GetString(scanner.Text)));
        }
    }

    /// <summary>The finished cell.</summary>
    public Cell Build(string finalName) => new(finalName, [.. Shapes], [.. Instances]);
}

/// <summary>Where a cell is placed in another for the first time.</summary>
internal sealed record CellReference(string Name, SourcePlace Place, string SourceLine);
