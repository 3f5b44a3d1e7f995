using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Svg.Styles;
using PatternCompiler.FrontEnds.Svg.Syntax;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>Reads SVG drawings; what is read is described in README.md beside this file.</summary>
internal static class SvgReader
{
    /// <summary>
    /// Reads a drawing as a layout: fills become areas, strokes become the areas they cover. What is not read is reported,
    /// counted by kind and layer. Nothing is ever fetched from anywhere.
    /// </summary>
    /// <param name="input">The file's bytes; read once, front to back. Stays open.</param>
    /// <param name="name">Name for messages, "-" for standard input.</param>
    /// <param name="options">Unit, grid, chord error, layers.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Stops the reading.</param>
    /// <exception cref="CompileException">The input is no SVG drawing, or is faulty.</exception>
    public static LayoutDocument Read(
        Stream input,
        string name,
        DrawingOptions options,
        DiagnosticSink sink,
        CancellationToken cancellation = default)
    {
        Check(options);
        SvgTree tree = SvgTree.Read(input, name, options.Limits, cancellation);
        var context = new SvgContext(name, sink);
        SvgStyleSheet sheet = SvgStyleSheet.Parse(context, tree.Styles, tree.Count, cancellation);
        SvgPage page = SvgPage.Of(context, SvgCascade.Of(context, tree.Root, sheet).Element, options);
        var shapes = new SvgShapeSink(context, options, cancellation);
        new SvgWalk(context, tree, sheet, options, shapes, cancellation).Run(page);
        context.ReportSize(page.Size, page.IsAssumed);
        if (page.Frame is var (low, high) && shapes.Extent is var (least, most) && (least.X < low.X || least.Y < low.Y || most.X > high.X || most.Y > high.Y))
        {
            context.ReportBeyondPage();
        }

        context.Report();
        return shapes.Build();
    }

    private static void Check(DrawingOptions options)
    {
        string? fault =
            options.GridPicometres < 1 ? "the grid must be 1 pm or more"
            : !(options.ChordErrorNanometres * 1000 >= options.GridPicometres / 2.0 && double.IsFinite(options.ChordErrorNanometres))
                ? "the chord error must be half a grid step or more"
            : options.UnitNanometres is double unit && !(unit > 0 && double.IsFinite(unit)) ? "the drawing unit must be above zero"
            : null;
        if (fault is not null)
        {
            throw new CompileException(SvgCodes.BadOption, fault);
        }
    }
}
