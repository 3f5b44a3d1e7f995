using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Dxf.Entities;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>
/// Which block places which. Finds unknown blocks, cycles and bottomless nesting before anything is built, and for each block
/// the largest scale at which any part of it reaches the drawing: a block is built at that scale, so that rounding and
/// chord errors are never magnified.
/// </summary>
internal sealed class BlockGraph
{
    private const int DeepestNesting = 256;

    private readonly string file;
    private readonly IReadOnlyDictionary<string, DxfBlock> blocks;
    private readonly Dictionary<DxfBlock, Node> nodes = [];
    private readonly List<DxfBlock> childrenFirst = [];

    public BlockGraph(string file, IReadOnlyDictionary<string, DxfBlock> blocks, DxfBlock top)
    {
        this.file = file;
        this.blocks = blocks;
        Visit(top);
        FindScales(top);
    }

    /// <summary>The block that an INSERT places.</summary>
    public DxfBlock BlockOf(InsertEntity insert) =>
        blocks.TryGetValue(insert.Block, out DxfBlock? block)
            ? block
            : throw new CompileException(DxfCodes.UnknownBlock, $"places block {insert.Block}, which the file does not define",
                insert.Origin.Place(file), "bind external drawings before exporting");

    /// <summary>Largest scale at which the block is used.</summary>
    public double ScaleOf(DxfBlock block) => nodes[block].Scale;

    /// <summary>True if something in the block takes the layer of the INSERT.</summary>
    public bool Inherits(DxfBlock block) => nodes[block].Inherits;

    /// <summary>True if the block is part of the drawing.</summary>
    public bool IsUsed(DxfBlock block) => nodes.ContainsKey(block);

    // Depth first with a stack of its own: a hostile file must not exhaust the program's.
    private void Visit(DxfBlock top)
    {
        var path = new Stack<(DxfBlock Block, int Next)>();
        nodes.Add(top, new Node { OnPath = true });
        path.Push((top, 0));
        while (path.TryPop(out (DxfBlock Block, int Next) step))
        {
            Node node = nodes[step.Block];
            if (step.Next == step.Block.Inserts.Count)
            {
                Leave(step.Block, node);
                continue;
            }

            path.Push((step.Block, step.Next + 1));
            InsertEntity insert = step.Block.Inserts[step.Next];
            DxfBlock child = BlockOf(insert);
            if (!nodes.TryGetValue(child, out Node? known))
            {
                nodes.Add(child, new Node { OnPath = true });
                path.Push((child, 0));
            }
            else if (known.OnPath)
            {
                throw new CompileException(DxfCodes.BlockCycle, $"block {child.Name} contains itself",
                    insert.Origin.Place(file), "delete this insert");
            }
        }
    }

    private void Leave(DxfBlock block, Node node)
    {
        node.OnPath = false;
        node.Inherits = block.Shapes.Exists(s => s.Origin.Layer == DxfBlock.InheritingLayer);
        foreach (InsertEntity insert in block.Inserts)
        {
            Node child = nodes[BlockOf(insert)];
            node.Inherits |= child.Inherits && insert.Origin.Layer == DxfBlock.InheritingLayer;
            node.Depth = Math.Max(node.Depth, child.Depth + 1);
            if (node.Depth > DeepestNesting)
            {
                throw new CompileException(DxfCodes.NestingTooDeep, $"blocks are nested more than {DeepestNesting} deep",
                    insert.Origin.Place(file), "explode some of them");
            }
        }

        childrenFirst.Add(block);
    }

    private void FindScales(DxfBlock top)
    {
        nodes[top].Scale = 1;
        for (int i = childrenFirst.Count - 1; i >= 0; i--)
        {
            double scale = nodes[childrenFirst[i]].Scale;
            foreach (InsertEntity insert in childrenFirst[i].Inserts)
            {
                Node child = nodes[BlockOf(insert)];
                double stretch = Math.Max(Math.Abs(insert.ScaleX), Math.Abs(insert.ScaleY));
                child.Scale = Math.Max(child.Scale, scale * stretch);
                if (!double.IsFinite(child.Scale))
                {
                    throw new CompileException(DxfCodes.BadEntity, "the scales of nested blocks multiply to infinity", insert.Origin.Place(file));
                }
            }
        }
    }

    private sealed class Node
    {
        public bool OnPath { get; set; }

        public bool Inherits { get; set; }

        public int Depth { get; set; }

        public double Scale { get; set; }
    }
}
