using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Dxf.Curves;
using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.FrontEnds.Dxf.Lowering;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Dxf;

/// <summary>
/// Receives entities in file order. Those of the drawing itself become shapes at once; those of blocks wait until it is known
/// on which layers and at what scale their block is used.
/// </summary>
internal sealed class DrawingBuilder
{
    private const int MostBlocksListed = 10;

    private readonly LoweringContext context;
    private readonly Dictionary<string, DxfBlock> blocks = new(StringComparer.OrdinalIgnoreCase);
    private readonly DxfBlock top = new("", 0);
    private readonly ShapeLowering topShapes;
    private DxfBlock? current;
    private bool inSheet;

    public DrawingBuilder(LoweringContext context)
    {
        this.context = context;
        topShapes = new ShapeLowering(context, new Placement(context.StepsPerUnit, default));
    }

    /// <summary>Starts a block; what follows belongs to it until <see cref="EndBlock"/>.</summary>
    public void BeginBlock(DxfBlock block)
    {
        inSheet = block.Name.StartsWith("*Paper_Space", StringComparison.OrdinalIgnoreCase)
            || block.Name.StartsWith("$PAPER_SPACE", StringComparison.OrdinalIgnoreCase);
        bool isModel = block.Name.Equals("*Model_Space", StringComparison.OrdinalIgnoreCase)
            || block.Name.Equals("$MODEL_SPACE", StringComparison.OrdinalIgnoreCase);
        current = isModel ? null : block;
        if (!isModel)
        {
            blocks[block.Name] = block;
        }
    }

    /// <summary>Ends the block.</summary>
    public void EndBlock()
    {
        current = null;
        inSheet = false;
    }

    /// <summary>Counts an entity that is not exposed.</summary>
    public void Ignore(EntityHeader header, string? reason) =>
        (current is null || inSheet ? context.Ignored : current.Ignored).Add(header.Origin, reason);

    /// <summary>Takes an entity that would be exposed if it could be read.</summary>
    public void Lose(EntityHeader header, string reason)
    {
        if (HiddenBecause(header) is { } hidden)
        {
            Ignore(header, hidden);
        }
        else if (current is not null)
        {
            current.Unread.Add((header.Origin, reason));
        }
        else
        {
            context.Lose(header.Origin, reason);
        }
    }

    /// <summary>Adds an entity.</summary>
    public void Add(EntityHeader header, DxfEntity entity)
    {
        if (HiddenBecause(header) is { } hiddenItself)
        {
            Ignore(header, hiddenItself);
        }
        else if (header.IsTilted && !IsInWorldCoordinates(entity))
        {
            Lose(header, "tilted out of the drawing plane");
        }
        else if (entity is InsertEntity insert)
        {
            (current ?? top).Inserts.Add(insert);
        }
        else if (current is not null)
        {
            current.Shapes.Add(entity);
        }
        else if (context.Layers.HiddenBecause(entity.Origin.Layer) is { } hidden)
        {
            Ignore(header, hidden);
        }
        else if (context.Layers.IndexOf(entity.Origin.Layer) is var index && index >= 0)
        {
            topShapes.Add(entity, index);
        }
    }

    /// <summary>Finishes the drawing.</summary>
    public LayoutDocument Finish(CancellationToken cancellation)
    {
        var shapes = topShapes.Finish();
        var graph = new BlockGraph(context.File, blocks, top);
        ReportBlocks(graph);
        LayoutDocument layout = DrawingLowering.Run(context, graph, top, shapes, cancellation);
        context.Ignored.Report(context.Sink, context.File);
        context.Crossings.Report(context.Sink, context.File, context.Options.GridPicometres);
        if (context.Nested is { } nested)
        {
            context.Sink.Warn(DxfCodes.Nested, "a closed outline lies within another one of its layer; each is filled, so that it adds nothing",
                nested.Place(context.File), "say what is meant with --nested-outlines ('nested_outlines' in the job): holes or filled");
        }

        CheckLayers(layout);
        return layout;
    }

    // What is ignored in a block counts if the block is part of the drawing.
    private void ReportBlocks(BlockGraph graph)
    {
        var unused = new List<string>();
        foreach (DxfBlock block in blocks.Values.OrderBy(b => b.Line).ThenBy(b => b.Name, StringComparer.Ordinal))
        {
            if (graph.IsUsed(block))
            {
                context.Ignored.Add(block.Ignored);
            }
            else if (block.Shapes.Count + block.Inserts.Count > 0 && block.Name is [not ('*' or '_'), ..])
            {
                // Names with a star or an underscore in front belong to sheets, dimensions and arrow heads.
                unused.Add(block.Name);
            }
        }

        if (unused.Count > 0)
        {
            string names = string.Join(", ", unused.Take(MostBlocksListed)) + (unused.Count > MostBlocksListed ? ", …" : "");
            context.Sink.Note(DxfCodes.UnusedBlocks, $"{CountText.Of(unused.Count, "block is", "blocks are")} defined but nowhere placed: {names}", new(context.File));
        }
    }

    private string? HiddenBecause(EntityHeader header) =>
        inSheet || header.IsInPaperSpace ? "on a sheet" : header.IsInvisible ? "invisible" : null;

    // Their coordinates hold whatever the extrusion; seen from above they are what they are.
    private static bool IsInWorldCoordinates(DxfEntity entity) => entity.Origin.Type is "POINT" or "LINE" or "3DFACE" or "SPLINE";

    private void CheckLayers(LayoutDocument layout)
    {
        foreach (string wanted in context.Options.Layers)
        {
            if (context.Layers.HiddenBecause(wanted) is { } hidden)
            {
                throw new CompileException(DxfCodes.LayerHidden, $"layer {wanted} was asked for, but the {hidden} in the drawing: nothing of it would be exposed",
                    new(context.File), "show it in the drawing, or do not ask for it");
            }

            if (!layout.Layers.Contains(wanted, StringComparer.OrdinalIgnoreCase))
            {
                List<string> all = [.. layout.Layers, .. context.Layers.PassedOver];
                all.Sort(StringComparer.Ordinal);
                throw new CompileException(DxfCodes.UnknownLayer, $"nothing is drawn on layer {wanted}", new(context.File),
                    all.Count == 0 ? "the drawing is empty" : $"there is something on: {string.Join(", ", all.Take(20))}");
            }
        }

        Cell drawing = layout.Cells[^1];
        if (drawing.Shapes.IsEmpty && drawing.Instances.IsEmpty)
        {
            throw new CompileException(DxfCodes.NothingDrawn, "the drawing has nothing that can be exposed", new(context.File),
                "see the notes on what was ignored");
        }
    }
}
