using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>A layout with every cell in its place, for formats that cannot place cells the way the layout does.</summary>
internal static class FlatShapes
{
    /// <summary>The area that a shape of a layout covers by the nonzero rule; null if it covers nothing.</summary>
    public static PolygonShape? AreaOf(LayoutDocument layout, Shape shape, DrawingWriteOptions options, DiagnosticSink sink, CancellationToken cancellation)
    {
        var alone = layout with { Cells = [new Cell(layout.TopCell, [shape], [])] };
        FlatLayer? flat = FlattenPass.Run(alone, options.Flattening, sink, cancellation)
            .Groups.FirstOrDefault(group => group.Area.Count > 0);
        return flat is null ? null : new PolygonShape(shape.Layer, shape.DoseFactor, flat.Area, FillRule.NonZero);
    }

    /// <summary>The same drawing as one cell.</summary>
    public static LayoutDocument Flatten(LayoutDocument layout, DrawingWriteOptions options, DiagnosticSink sink, CancellationToken cancellation)
    {
        FlatLayout flat = FlattenPass.Run(layout, options.Flattening, sink, cancellation);
        var shapes = ImmutableArray.CreateBuilder<Shape>();
        foreach (FlatLayer group in flat.Groups)
        {
            if (group.Area.Count > 0)
            {
                shapes.Add(new PolygonShape(group.Layer, group.DoseFactor, group.Area, FillRule.NonZero));
            }

            shapes.AddRange(group.Lines.Select(line => new LineShape(group.Layer, group.DoseFactor, line)));
            shapes.AddRange(group.Dots.Select(dot => new DotShape(group.Layer, group.DoseFactor, dot)));
        }

        return layout with { Cells = [new Cell(layout.TopCell, shapes.ToImmutable(), [])] };
    }
}
