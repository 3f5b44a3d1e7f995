using System.Collections.Immutable;
using System.Globalization;

namespace PatternCompiler.FrontEnds.Gdsii;

/// <summary>Layers by number and data type, in order of first use; named "5/0".</summary>
internal sealed class GdsiiLayers
{
    private readonly ImmutableArray<string> selection;
    private readonly Dictionary<(int Layer, int DataType), int> indices = [];
    private readonly List<string> names = [];
    private readonly SortedSet<string> passedOver = new(StringComparer.Ordinal);
    private (int Layer, int DataType) latest = (-1, -1);
    private int latestIndex = -1;

    public GdsiiLayers(ImmutableArray<string> selection)
    {
        this.selection = selection.IsDefaultOrEmpty ? [] : selection;
    }

    /// <summary>Layers that got an index, in that order.</summary>
    public ImmutableArray<string> Names => [.. names];

    /// <summary>One of them.</summary>
    public string NameAt(int index) => names[index];

    /// <summary>Layers with elements that were not selected.</summary>
    public IEnumerable<string> PassedOver => passedOver;

    /// <summary>Name of a layer and data type.</summary>
    public static string NameOf(int layer, int dataType) => string.Create(CultureInfo.InvariantCulture, $"{layer}/{dataType}");

    /// <summary>Index of a layer, or -1 if it was not selected.</summary>
    public int IndexOf(int layer, int dataType)
    {
        if (latest == (layer, dataType))
        {
            return latestIndex;
        }

        if (!indices.TryGetValue((layer, dataType), out int index))
        {
            index = Add(layer, dataType);
            indices.Add((layer, dataType), index);
        }

        (latest, latestIndex) = ((layer, dataType), index);
        return index;
    }

    /// <summary>True if something was found on a layer that was asked for.</summary>
    public bool Has(string wanted) => names.Exists(name => Matches(name, wanted));

    /// <summary>True if what is drawn on the layer is to be exposed.</summary>
    public bool IsSelected(int layer, int dataType) => IsSelected(NameOf(layer, dataType));

    private bool IsSelected(string name) => selection.IsEmpty || selection.Any(wanted => Matches(name, wanted));

    private int Add(int layer, int dataType)
    {
        string name = NameOf(layer, dataType);
        if (!IsSelected(name))
        {
            passedOver.Add(name);
            return -1;
        }

        names.Add(name);
        return names.Count - 1;
    }

    private static bool Matches(string name, string wanted) =>
        name == wanted || (!wanted.Contains('/', StringComparison.Ordinal) && name.AsSpan(0, name.IndexOf('/', StringComparison.Ordinal)).SequenceEqual(wanted));
}
