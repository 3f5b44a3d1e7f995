using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>A layout with every cell in its place, for formats that cannot place cells the way the layout does.</summary>
internal static class FlatShapes
{
    /// <summary>The same drawing as one cell.</summary>
    public static LayoutDocument Flatten(LayoutDocument layout, double chordErrorNanometres, DiagnosticSink sink, CancellationToken cancellation)
    {
        FlatLayout flat = FlattenPass.Run(layout, new FlattenOptions { ChordErrorNanometres = chordErrorNanometres }, sink, cancellation);
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
