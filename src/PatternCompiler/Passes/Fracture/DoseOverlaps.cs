using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Limits;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Passes.Fracture;

/// <summary>
/// Decomposes the area of a group less what groups of other doses on its layer take from it, its outline smoothed by a
/// distance in grid steps.
/// </summary>
internal sealed class DoseOverlaps(FlatLayout layout, DoseOverlapRule rule, double smoothing, WorkLimits limits, DiagnosticSink sink)
{
    private readonly GridBox[] boxes = [.. layout.Groups.Select(group => GridBox.Around(group.Area))];
    private readonly ContourSet?[] takenFrom = new ContourSet?[layout.Groups.Length];

    /// <summary>Trapezoids of the group's area; with x and y exchanged if <paramref name="isTransposed"/>.</summary>
    public Trapezoid[] Decompose(int group, bool isTransposed, CancellationToken cancellation)
    {
        ContourSet area = Smoothed(group, cancellation);
        ContourSet taken = Taken(group, cancellation);
        if (isTransposed)
        {
            area = area.Transposed();
            taken = taken.Transposed();
        }

        return taken.Count == 0
            ? TrapezoidDecomposition.Compute(area, cancellation: cancellation, limits: LimitsAt(group))
            : TrapezoidDecomposition.Compute(area, taken, BooleanOperation.Difference, cancellation: cancellation, limits: LimitsAt(group));
    }

    /// <summary>Outline of the group's area: the same in whichever direction it is cut afterwards.</summary>
    public ContourSet Outline(int group, CancellationToken cancellation)
    {
        ContourSet area = Smoothed(group, cancellation);
        ContourSet taken = Taken(group, cancellation);
        return taken.Count == 0
            ? RegionBoolean.Merge(area, cancellation: cancellation, limits: LimitsAt(group))
            : RegionBoolean.Compute(area, taken, BooleanOperation.Difference, cancellation: cancellation, limits: LimitsAt(group));
    }

    private ContourSet Smoothed(int group, CancellationToken cancellation)
    {
        ContourSet area = layout.Groups[group].Area;
        return smoothing > 0
            ? ContourSmoothing.Smooth(RegionBoolean.Merge(area, cancellation: cancellation, limits: LimitsAt(group)), smoothing, cancellation: cancellation, limits: LimitsAt(group))
            : area;
    }

    private ContourSet Taken(int group, CancellationToken cancellation) => takenFrom[group] ??= FindTaken(group, cancellation);

    private ContourSet FindTaken(int group, CancellationToken cancellation)
    {
        FlatLayer flat = layout.Groups[group];
        ContourSet taken = ContourSet.Empty;
        for (int other = 0; other < layout.Groups.Length; other++)
        {
            if (TakesFrom(layout.Groups[other], flat) && boxes[other].Overlaps(boxes[group]))
            {
                taken = RegionBoolean.Compute(taken, layout.Groups[other].Area, BooleanOperation.Union, cancellation: cancellation, limits: LimitsAt(group));
                Report(flat, layout.Groups[other], cancellation);
            }
        }

        return taken;
    }

    private WorkLimits LimitsAt(int group) => limits.At(LayerOf(layout.Groups[group]));

    private string LayerOf(FlatLayer flat) => $"layer '{layout.LayerNames[flat.Layer]}'";

    private bool TakesFrom(FlatLayer other, FlatLayer flat) =>
        other.Layer == flat.Layer && rule switch
        {
            DoseOverlapRule.Highest => other.DoseFactor > flat.DoseFactor,
            DoseOverlapRule.Lowest => other.DoseFactor < flat.DoseFactor,
            DoseOverlapRule.First => (other.Rank, other.DoseFactor).CompareTo((flat.Rank, flat.DoseFactor)) < 0,
            _ => false,
        };

    private void Report(FlatLayer flat, FlatLayer other, CancellationToken cancellation)
    {
        ContourSet shared = RegionBoolean.Compute(flat.Area, other.Area, BooleanOperation.Intersection, cancellation: cancellation, limits: limits.At(LayerOf(flat)));
        Int128 twice = ExactArea.Twice(shared);
        if (twice > 0)
        {
            double gridMicrometres = layout.GridPicometres * 1e-6;
            double gridNanometres = layout.GridPicometres * 1e-3;

            // The first piece of the overlap, from the bottom.
            Trapezoid piece = TrapezoidDecomposition.Compute(shared, cancellation: cancellation, limits: limits.At(LayerOf(flat)))[0];
            (double X, double Y) at = FigureCorners.InnerPoint(Figure.FromTrapezoid(flat.Layer, flat.DoseFactor, piece));
            double area = (double)twice / 2 * gridMicrometres * gridMicrometres;
            sink.Note(
                FractureCodes.DosesOverlap,
                $"on layer \"{layout.LayerNames[flat.Layer]}\" areas with dose factors {flat.DoseFactor} and {other.DoseFactor} " +
                $"overlap by {area:0.######} um2; {other.DoseFactor} is written there",
                SourcePlace.OfPoint(layout.LayerNames[flat.Layer], at.X * gridNanometres, at.Y * gridNanometres));
        }
    }
}
