using PatternCompiler.Geometry;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Prediction.Seams;

/// <summary>Where two write fields meet.</summary>
/// <param name="First">The left or lower field.</param>
/// <param name="Second">The right or upper field.</param>
/// <param name="IsUpright">The fields lie side by side; otherwise one above the other.</param>
/// <param name="Window">Area within <see cref="ReachNanometres"/> of the line between them.</param>
internal sealed record Seam(WriteField First, WriteField Second, bool IsUpright, SampleWindow Window)
{
    /// <summary>What lies as near to a seam is judged with it: farther than stages miss and beams reach.</summary>
    public const double ReachNanometres = 1000;

    /// <summary>Every seam of a plan, in the order of its fields.</summary>
    public static IEnumerable<Seam> Of(FieldPlan plan)
    {
        double scale = plan.GridPicometres * 1e-3;
        ILookup<int, WriteField> byLeft = plan.Fields.ToLookup(field => field.Cell.XLeft);
        ILookup<int, WriteField> byBottom = plan.Fields.ToLookup(field => field.Cell.YBottom);
        foreach (WriteField first in plan.Fields)
        {
            GridBox cell = first.Cell;
            foreach (WriteField second in byLeft[cell.XRight])
            {
                (int low, int high) = (Math.Max(cell.YBottom, second.Cell.YBottom), Math.Min(cell.YTop, second.Cell.YTop));
                if (low < high)
                {
                    yield return new Seam(first, second, true, new SampleWindow(
                        cell.XRight * scale - ReachNanometres, low * scale, cell.XRight * scale + ReachNanometres, high * scale));
                }
            }

            foreach (WriteField second in byBottom[cell.YTop])
            {
                (int low, int high) = (Math.Max(cell.XLeft, second.Cell.XLeft), Math.Min(cell.XRight, second.Cell.XRight));
                if (low < high)
                {
                    yield return new Seam(first, second, false, new SampleWindow(
                        low * scale, cell.YTop * scale - ReachNanometres, high * scale, cell.YTop * scale + ReachNanometres));
                }
            }
        }
    }
}
