using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fill;

/// <summary>Scans the bounding box of a layer's areas row by row, with on and off runs.</summary>
internal sealed class RasterFill(string word, bool isOneWay) : FillStrategy(word, isOneWay)
{
    internal override bool SharesPixels => true;

    internal override Action<int> Begin(LayerAreas layer)
    {
        int[] areas = layer.FindAreas();
        LayerPlan plan = FollowField(layer, areas);
        var waiting = new Dictionary<int, double>();
        var given = new FigureValues();
        return pass => new RasterScan(layer.Writer, layer.Tally, layer.GridFemtometres, plan, pass, waiting, given).Write(layer.Figures, areas);
    }

    /// <summary>In a tilted or distorted field the raster stands on the codes as they are in the middle of its areas.</summary>
    private static LayerPlan FollowField(LayerAreas layer, int[] areas)
    {
        if (!layer.Plan.Axes.AreUneven || areas.Length == 0)
        {
            return layer.Plan;
        }

        (long left, long bottom, long right, long top) = (long.MaxValue, long.MaxValue, long.MinValue, long.MinValue);
        foreach (int number in areas)
        {
            var alongX = new AreaShape(layer.Figures[number], layer.GridFemtometres, linesAlongX: true);
            var alongY = new AreaShape(layer.Figures[number], layer.GridFemtometres, linesAlongX: false);
            (left, right) = (Math.Min(left, alongY.Low), Math.Max(right, alongY.High));
            (bottom, top) = (Math.Min(bottom, alongX.Low), Math.Max(top, alongX.High));
        }

        (LayerPlan local, double deviation) = layer.Plan.Near(left, bottom, right, top);
        if (deviation > FigureStrokes.LargestDeviationCodes)
        {
            layer.Sink.Warn(
                FillCodes.UnevenField,
                $"the tilt or distortion of the field moves codes by up to {QuantityText.Format(deviation, Dimension.Codes, 2)} within the raster of layer {layer.Layer}, so that grey pixels place edges only to half a code",
                fix: "write the layer with lines, or turn the drawing or the scan so that both are parallel");
        }

        return local;
    }
}
