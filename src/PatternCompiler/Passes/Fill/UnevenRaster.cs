using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Figures;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fill;

/// <summary>Places a raster in a tilted or distorted field: on the codes as they stand in the middle of its areas.</summary>
internal static class UnevenRaster
{
    /// <summary>The plan for a raster over some areas; warns if codes move within it.</summary>
    public static LayerPlan Follow(
        LayerPlan plan, string layer, IReadOnlyList<Figure> figures, int[] areas, long gridFemtometres, DiagnosticSink sink)
    {
        if (!plan.IsUneven || areas.Length == 0)
        {
            return plan;
        }

        (long left, long bottom, long right, long top) = (long.MaxValue, long.MaxValue, long.MinValue, long.MinValue);
        foreach (int number in areas)
        {
            var alongX = new AreaShape(figures[number], gridFemtometres, linesAlongX: true);
            var alongY = new AreaShape(figures[number], gridFemtometres, linesAlongX: false);
            (left, right) = (Math.Min(left, alongY.Low), Math.Max(right, alongY.High));
            (bottom, top) = (Math.Min(bottom, alongX.Low), Math.Max(top, alongX.High));
        }

        (LayerPlan local, double deviation) = plan.Near(left, bottom, right, top);
        if (deviation > FigureStrokes.LargestDeviationCodes)
        {
            sink.Warn(
                FillCodes.UnevenField,
                $"the tilt or distortion of the field moves codes by up to {QuantityText.Format(deviation, Dimension.Codes, 2)} within the raster of layer {layer}, so that grey pixels place edges only to half a code",
                fix: "write the layer with lines, or turn the drawing or the scan so that both are parallel");
        }

        return local;
    }
}
