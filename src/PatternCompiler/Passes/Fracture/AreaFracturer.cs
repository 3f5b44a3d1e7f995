using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Limits;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fracture;

/// <summary>Cuts the areas of one group after another into figures, as the options say, and counts slivers.</summary>
internal sealed class AreaFracturer(FlatLayout layout, FractureOptions options, DiagnosticSink sink)
{
    private readonly DoseOverlaps overlaps = new(layout, options.DoseOverlap, options.SmoothingNanometres / (layout.GridPicometres * 1e-3), options.Limits, sink);
    private readonly double gridNanometres = layout.GridPicometres * 1e-3;
    private readonly List<Trapezoid> divided = [];

    /// <summary>Adds the figures of a group's area.</summary>
    public void AddFigures(int group, FigureList figures, CancellationToken cancellation)
    {
        int first = figures.Count;
        switch (options.Direction)
        {
            case FractureDirection.Horizontal:
                Add(group, Decompose(group, isTransposed: false, cancellation), isTransposed: false, figures);
                break;
            case FractureDirection.Vertical:
                Add(group, Decompose(group, isTransposed: true, cancellation), isTransposed: true, figures);
                break;
            default:
                ContourSet outline = overlaps.Outline(group, cancellation);
                var (horizontal, vertical) = DirectionChoice.Choose(
                    TrapezoidDecomposition.Compute(outline, cancellation: cancellation, limits: options.Limits),
                    TrapezoidDecomposition.Compute(outline.Transposed(), cancellation: cancellation, limits: options.Limits),
                    options.SliverNanometres / gridNanometres);
                Add(group, horizontal, isTransposed: false, figures);
                Add(group, vertical, isTransposed: true, figures);
                break;
        }

        ReportSlivers(layout.Groups[group], figures, first);
    }

    private Trapezoid[] Decompose(int group, bool isTransposed, CancellationToken cancellation) =>
        SliverRemoval.Run(overlaps.Decompose(group, isTransposed, cancellation), options.SliverNanometres / gridNanometres);

    private void Add(int group, IReadOnlyCollection<Trapezoid> pieces, bool isTransposed, FigureList figures)
    {
        FlatLayer flat = layout.Groups[group];
        double largest = options.LargestFigureNanometres / gridNanometres;
        if (largest > 0)
        {
            // Before any is made: they would fill the memory first.
            options.Limits.At($"layer '{layout.LayerNames[flat.Layer]}'").Meter(WorkKind.Figures, pieces.Count).Require(pieces.Sum(piece => FigureDivider.PartsOf(piece, largest)));
        }

        foreach (Trapezoid piece in pieces)
        {
            if (options.LargestFigureNanometres > 0)
            {
                divided.Clear();
                FigureDivider.Divide(piece, largest, divided);
                foreach (Trapezoid part in divided)
                {
                    figures.Add(Figure.FromTrapezoid(flat.Layer, flat.DoseFactor, part, isTransposed));
                }
            }
            else
            {
                figures.Add(Figure.FromTrapezoid(flat.Layer, flat.DoseFactor, piece, isTransposed));
            }
        }
    }

    private void ReportSlivers(FlatLayer flat, FigureList figures, int first)
    {
        double limit = options.SliverNanometres / gridNanometres;
        int slivers = 0;
        int thinnest = first;
        double thickness = double.PositiveInfinity;
        for (int i = first; i < figures.Count && limit > 0; i++)
        {
            double t = TrapezoidMeasure.Thickness(figures[i].Shape);
            slivers += t < limit ? 1 : 0;
            if (t < thickness)
            {
                (thickness, thinnest) = (t, i);
            }
        }

        if (slivers > 0)
        {
            Figure figure = figures[thinnest];
            (double X, double Y) inner = FigureCorners.InnerPoint(figure);
            double left = TrapezoidMeasure.XAt(figure.Shape.Left, figure.Shape.YBottom);
            (double X, double Y) at = figure.IsTransposed ? (figure.Shape.YBottom, left) : (left, figure.Shape.YBottom);
            sink.Warn(
                FractureCodes.Slivers,
                $"{slivers} of {CountText.Of(figures.Count - first, "figure", "figures")} on layer \"{layout.LayerNames[flat.Layer]}\" {CountText.Word(slivers, "is", "are")} thinner than {options.SliverNanometres} nm; " +
                $"the thinnest, {thickness * gridNanometres:0.###} nm, is near ({at.X * gridNanometres * 1e-3:0.####} um, {at.Y * gridNanometres * 1e-3:0.####} um)",
                SourcePlace.OfPoint(layout.LayerNames[flat.Layer], inner.X * gridNanometres, inner.Y * gridNanometres, thinnest),
                options.Direction == FractureDirection.Automatic ? null : "try the automatic direction");
        }
    }
}
