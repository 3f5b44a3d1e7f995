using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>A block definition.</summary>
internal sealed class DxfBlock(string name, int line)
{
    /// <summary>The layer whose entities take the layer of the INSERT that places the block.</summary>
    public const string InheritingLayer = "0";

    /// <summary>Name as the file spells it.</summary>
    public string Name { get; } = name;

    /// <summary>Line of the definition.</summary>
    public int Line { get; } = line;

    /// <summary>Point that lands on the position of an INSERT.</summary>
    public PlanePoint Base { get; set; }

    /// <summary>The block stands for another drawing, which is not part of the file.</summary>
    public bool IsExternal { get; set; }

    /// <summary>What of the block is not exposed.</summary>
    public IgnoredEntities Ignored { get; } = new();

    /// <summary>Entities that would be shapes if they could be read, each with the reason why not.</summary>
    public List<(EntityOrigin Origin, string Reason)> Unread { get; } = [];

    /// <summary>Shapes in drawing order.</summary>
    public List<DxfEntity> Shapes { get; } = [];

    /// <summary>Placed blocks in drawing order.</summary>
    public List<InsertEntity> Inserts { get; } = [];
}
