using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Dxf.Curves;
using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>
/// Turns blocks into cells. A block with entities on layer 0 becomes one cell for each layer it is placed on. A cell holds
/// its block at the largest scale at which the block is used, and its instances undo that scale.
/// </summary>
internal sealed class DrawingLowering
{
    private const int MostCells = 100_000;
    private const string TopName = "drawing";

    private readonly LoweringContext context;
    private readonly BlockGraph graph;
    private readonly CancellationToken cancellation;
    private readonly ImmutableArray<Cell>.Builder cells = ImmutableArray.CreateBuilder<Cell>();
    private readonly HashSet<string> cellNames = new(StringComparer.Ordinal);
    private readonly Dictionary<(DxfBlock Block, string? Layer), string?> built = [];
    private readonly HashSet<(DxfBlock Block, string Layer)> toldUnread = [];

    private DrawingLowering(LoweringContext context, BlockGraph graph, CancellationToken cancellation)
    {
        this.context = context;
        this.graph = graph;
        this.cancellation = cancellation;
    }

    /// <summary>Makes the layout.</summary>
    /// <param name="context">What is known of the drawing.</param>
    /// <param name="graph">Which block places which.</param>
    /// <param name="top">Blocks placed in the drawing itself.</param>
    /// <param name="topShapes">Shapes of the drawing itself.</param>
    /// <param name="cancellation">Stops the work.</param>
    public static LayoutDocument Run(
        LoweringContext context, BlockGraph graph, DxfBlock top, ImmutableArray<Shape> topShapes, CancellationToken cancellation)
    {
        var lowering = new DrawingLowering(context, graph, cancellation);
        ImmutableArray<Instance> instances = lowering.Instances(top, 1, null);
        string name = lowering.FreeName(TopName);
        lowering.cells.Add(new Cell(name, topShapes, instances));
        return new LayoutDocument(context.Options.GridPicometres, context.Layers.Names, lowering.cells.DrainToImmutable(), name) { Places = context.Places };
    }

    // Name of the cell for a block, or null if nothing of it is exposed. Nesting was found to be shallow.
    private string? CellFor(DxfBlock block, string insertLayer)
    {
        TellUnread(block, insertLayer);
        string? layer = graph.Inherits(block) ? insertLayer : null;
        if (built.TryGetValue((block, layer), out string? name))
        {
            return name;
        }

        cancellation.ThrowIfCancellationRequested();
        if (built.Count == MostCells)
        {
            throw new CompileException(DxfCodes.TooManyCells, $"blocks and the layers they are placed on make more than {MostCells} cells",
                new(context.File, block.Line), "draw fewer entities on layer 0 of blocks");
        }

        double scale = graph.ScaleOf(block);
        var shapes = new ShapeLowering(context, new Placement(context.StepsPerUnit * scale, block.Base));
        foreach (DxfEntity entity in block.Shapes)
        {
            string on = Resolve(entity.Origin.Layer, layer);
            if (context.Layers.HiddenBecause(on) is { } reason)
            {
                context.Ignored.Add(entity.Origin with { Layer = on }, reason);
            }
            else if (context.Layers.IndexOf(on) is var index && index >= 0)
            {
                shapes.Add(entity, index);
            }
        }

        ImmutableArray<Shape> drawn = shapes.Finish();
        ImmutableArray<Instance> instances = Instances(block, scale, layer);
        if (drawn.Length > 0 || instances.Length > 0)
        {
            bool plain = layer is null or DxfBlock.InheritingLayer;
            name = FreeName(plain ? block.Name : $"{block.Name}@{layer}");
            cells.Add(new Cell(name, drawn, instances));
        }

        built.Add((block, layer), name);
        return name;
    }

    // What cannot be read makes no cell, but it counts on each layer that the block is placed on.
    private void TellUnread(DxfBlock block, string insertLayer)
    {
        if (block.Unread.Count > 0 && toldUnread.Add((block, insertLayer)))
        {
            foreach ((EntityOrigin origin, string reason) in block.Unread)
            {
                context.Lose(origin with { Layer = Resolve(origin.Layer, insertLayer) }, reason);
            }
        }
    }

    private ImmutableArray<Instance> Instances(DxfBlock block, double scale, string? inherited)
    {
        ImmutableArray<Instance>.Builder instances = ImmutableArray.CreateBuilder<Instance>();
        var placement = new Placement(context.StepsPerUnit * scale, block.Base);
        foreach (InsertEntity insert in block.Inserts)
        {
            string on = Resolve(insert.Origin.Layer, inherited);
            if (context.Layers.IsFrozen(on))
            {
                context.Ignored.Add(insert.Origin with { Layer = on }, "layer is frozen");
                continue;
            }

            DxfBlock child = graph.BlockOf(insert);
            if (child.IsExternal)
            {
                context.Ignored.Lose(insert.Origin with { Layer = on }, $"external drawing {child.Name}, not part of this file");
                continue;
            }

            if (CellFor(child, on) is not { } cell)
            {
                continue;
            }

            double factor = scale / graph.ScaleOf(child);
            var orientation = new Orientation(insert.RotationDegrees, factor * insert.ScaleX, factor * insert.ScaleY);
            PlanePoint origin = placement.Apply(insert.Position);
            foreach ((GridPoint at, Repetition repetition, ArrayElement element) in
                ArrayPlacement.Place(insert, origin, placement.StepsPerUnit, context))
            {
                instances.Add(new Instance(cell, at, orientation, repetition, DoseFactor.One) { Place = context.PlaceOf(insert.Origin), Element = element });
            }
        }

        return instances.DrainToImmutable();
    }

    private static string Resolve(string layer, string? inherited) =>
        layer == DxfBlock.InheritingLayer && inherited is not null ? inherited : layer;

    private string FreeName(string wanted)
    {
        string name = wanted;
        for (int i = 2; !cellNames.Add(name); i++)
        {
            name = $"{wanted}~{i}";
        }

        return name;
    }
}
