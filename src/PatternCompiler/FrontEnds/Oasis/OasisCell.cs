using System.Collections.Immutable;
using PatternCompiler.FrontEnds.Gdsii;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>A cell as read, before numbers of cells are resolved to names.</summary>
internal sealed class OasisCell(OasisCellKey key, long position)
{
    /// <summary>Name or number.</summary>
    public OasisCellKey Key => key;

    /// <summary>Position in the file.</summary>
    public long Position => position;

    /// <summary>Shapes in drawing order.</summary>
    public ImmutableArray<Shape>.Builder Shapes { get; } = ImmutableArray.CreateBuilder<Shape>();

    /// <summary>What of it is not exposed.</summary>
    public IgnoredElements Ignored { get; } = new();

    /// <summary>Placed cells in drawing order; the instances have no names yet.</summary>
    public List<(OasisCellKey Key, Instance Instance, long Position)> Instances { get; } = [];
}

/// <summary>How a cell is named: by its name, or by a number that a name record elsewhere in the file explains.</summary>
internal readonly record struct OasisCellKey(string? Name, long Number)
{
    /// <summary>Reads a key.</summary>
    public static OasisCellKey Read(OasisBytes bytes, bool isNumber) => isNumber ? new(null, bytes.Unsigned()) : new(bytes.Text(), -1);
}
