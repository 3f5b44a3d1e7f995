using System.Collections.Immutable;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>Layers in order of first use, with the state the drawing gives them. Names are compared without regard to case.</summary>
internal sealed class LayerTable
{
    private readonly Dictionary<string, int> indices = new(StringComparer.OrdinalIgnoreCase);
    private readonly List<string> names = [];
    private readonly HashSet<string> off = new(StringComparer.OrdinalIgnoreCase);
    private readonly HashSet<string> frozen = new(StringComparer.OrdinalIgnoreCase);
    private readonly HashSet<string>? selected;
    private readonly HashSet<string> passedOver = new(StringComparer.OrdinalIgnoreCase);

    public LayerTable(ImmutableArray<string> selection)
    {
        selected = selection.IsDefaultOrEmpty ? null : new(selection, StringComparer.OrdinalIgnoreCase);
    }

    /// <summary>Layers that got an index, in that order.</summary>
    public ImmutableArray<string> Names => [.. names];

    /// <summary>Layers with entities that were not selected, in no order.</summary>
    public IEnumerable<string> PassedOver => passedOver;

    /// <summary>Notes the state of a layer.</summary>
    public void SetState(string name, bool isOff, bool isFrozen)
    {
        if (isOff)
        {
            off.Add(name);
        }

        if (isFrozen)
        {
            frozen.Add(name);
        }
    }

    /// <summary>Why entities on the layer are not shown, or null if they are.</summary>
    public string? HiddenBecause(string name) =>
        frozen.Contains(name) ? "layer is frozen" : off.Contains(name) ? "layer is off" : null;

    /// <summary>True if the layer is frozen: that hides blocks placed on it with all they hold.</summary>
    public bool IsFrozen(string name) => frozen.Contains(name);

    /// <summary>True if what is drawn on the layer is to be exposed.</summary>
    public bool IsSelected(string name) => selected is null || selected.Contains(name);

    /// <summary>Index of a layer, or -1 if it was not selected.</summary>
    public int IndexOf(string name)
    {
        if (!IsSelected(name))
        {
            passedOver.Add(name);
            return -1;
        }

        if (!indices.TryGetValue(name, out int index))
        {
            index = names.Count;
            indices.Add(name, index);
            names.Add(name);
        }

        return index;
    }
}
