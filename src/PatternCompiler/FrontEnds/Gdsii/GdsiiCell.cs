using System.Collections.Immutable;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Gdsii;

/// <summary>A cell as read, before the order of cells is known.</summary>
internal sealed class GdsiiCell(string name, long position)
{
    /// <summary>Name.</summary>
    public string Name { get; } = name;

    /// <summary>Position in the file.</summary>
    public long Position { get; } = position;

    /// <summary>Shapes in drawing order.</summary>
    public ImmutableArray<Shape>.Builder Shapes { get; } = ImmutableArray.CreateBuilder<Shape>();

    /// <summary>Placed cells in drawing order, with the position of each in the file.</summary>
    public List<(Instance Instance, long Position)> Instances { get; } = [];

    /// <summary>What of it is not exposed.</summary>
    public IgnoredElements Ignored { get; init; } = new();
}
