using System.Collections.Immutable;
using PatternCompiler.Units;

namespace PatternCompiler.Pictures;

/// <summary>
/// Gathers areas, lines and dots by layer and dose factor for one picture. Areas far smaller than a pixel are summed
/// per pixel, so that the effort of drawing is bounded by the picture's size and not by the document's.
/// </summary>
internal sealed class DrawnShapes(PictureOptions options, ImmutableArray<string> layers)
{
    // Boundaries of shapes smaller than this would fill them with ink.
    private const double SmallestOutlinedPixels = 5;

    // Beyond this number of areas those that are small against a pixel are summed instead of drawn.
    private const long MostExactAreas = 200_000;
    private const double SmallestExactPixels = 2;
    private readonly SortedDictionary<(int Layer, int Tint, SceneRole Role), ScenePathBuilder> paths = [];
    private readonly float[]?[] covers = new float[layers.Length][];
    private readonly long[] perLayer = new long[layers.Length];
    private long areas;
    private SceneExtent extent = SceneExtent.Empty;
    private DoseFactor lowest = new(int.MaxValue);
    private DoseFactor highest = new(0);
    private PictureFrame? frame;

    /// <summary>Extent of everything.</summary>
    public SceneExtent Extent => extent;

    private PictureFrame Frame => frame ?? throw new InvalidOperationException("The frame has not been chosen.");

    private TintRange Range => new(lowest.Value, highest.Value);

    public void Extend(SceneExtent part)
    {
        if (!part.IsEmpty)
        {
            extent = extent.With(part.Left, part.Bottom).With(part.Right, part.Top);
        }
    }

    /// <summary>Announces areas, so that their number is known before the first is drawn.</summary>
    public void CountAreas(long count) => areas += count;

    public void AddDoseFactor(DoseFactor factor)
    {
        lowest = factor < lowest ? factor : lowest;
        highest = factor > highest ? factor : highest;
    }

    /// <summary>Call once all extents and dose factors are known, before shapes are added.</summary>
    public void ChooseFrame() => frame = PictureFrame.Choose(extent, options);

    public void AddArea(int layer, DoseFactor factor, ReadOnlySpan<ScenePoint> ring)
    {
        perLayer[layer]++;
        SceneExtent box = SceneExtent.Empty;
        foreach (ScenePoint point in ring)
        {
            box = box.With(point.X, point.Y);
        }

        if (box.IsEmpty || !Frame.View.Meets(box.Left, box.Bottom, box.Right, box.Top))
        {
            return;
        }

        double pixel = Frame.NanometresPerPixel;
        if (areas > MostExactAreas && box.Width < SmallestExactPixels * pixel && box.Height < SmallestExactPixels * pixel)
        {
            AddCover(layer, box, ring);
            return;
        }

        AddPart(layer, factor, SceneRole.Area, ring);
        if (Math.Min(box.Width, box.Height) >= SmallestOutlinedPixels * pixel)
        {
            AddPart(layer, factor, SceneRole.Outline, ring);
        }
    }

    public void AddLine(int layer, DoseFactor factor, ReadOnlySpan<ScenePoint> points)
    {
        perLayer[layer]++;
        AddPart(layer, factor, SceneRole.Line, points);
    }

    public void AddDot(int layer, DoseFactor factor, ScenePoint point)
    {
        perLayer[layer]++;
        AddPart(layer, factor, SceneRole.Dot, [point]);
    }

    public Scene Compose(string title, string facts)
    {
        CodeRaster? raster = options.CodeRaster;
        bool showsRaster = raster is not null
            && Math.Min(raster.StepXNanometres, raster.StepYNanometres) >= ExposureCollector.SmallestRasterPixels * Frame.NanometresPerPixel;
        var legend = ImmutableArray.CreateBuilder<LegendEntry>();
        for (int layer = 0; layer < layers.Length; layer++)
        {
            if (perLayer[layer] > 0)
            {
                legend.Add(new LegendEntry(SceneRole.Area, layer, $"{layers[layer]} ({FactText.Grouped(perLayer[layer])})"));
            }
        }

        if (showsRaster)
        {
            legend.Add(new LegendEntry(SceneRole.Raster, 0, $"DAC raster {FactText.Length(raster!.StepXNanometres)}"));
        }

        TintScale? scale = Range.Varies
            ? new TintScale("dose factor", lowest.ToString(), highest.ToString(), FirstHue())
            : null;
        return new Scene(
            Frame,
            title,
            facts,
            Notes(),
            legend.ToImmutable(),
            scale,
            showsRaster ? raster : null,
            Cover(),
            [.. paths.Select(pair => new SceneBatch(pair.Key.Role, pair.Key.Layer, pair.Key.Tint, pair.Value.ToPath()))]);
    }

    /// <summary>Adds a small ring's area (negative for a hole) to the pixel under its middle.</summary>
    private void AddCover(int layer, SceneExtent box, ReadOnlySpan<ScenePoint> ring)
    {
        int column = (int)Math.Floor(Frame.PixelX((box.Left + box.Right) / 2)) - PictureFrame.PlotLeft;
        int row = (int)Math.Floor(Frame.PixelY((box.Bottom + box.Top) / 2)) - Frame.PlotTop;
        if ((uint)column >= (uint)Frame.PlotWidth || (uint)row >= (uint)Frame.PlotHeight)
        {
            return;
        }

        double twice = 0;
        ScenePoint previous = ring[^1];
        foreach (ScenePoint point in ring)
        {
            twice += (previous.X - box.Left) * (point.Y - box.Bottom) - (point.X - box.Left) * (previous.Y - box.Bottom);
            previous = point;
        }

        double pixel = Frame.NanometresPerPixel;
        (covers[layer] ??= new float[Frame.PlotWidth * Frame.PlotHeight])[row * Frame.PlotWidth + column] += (float)(twice / 2 / (pixel * pixel));
    }

    private ImmutableArray<SceneMap> Cover()
    {
        var maps = ImmutableArray.CreateBuilder<SceneMap>();
        for (int layer = 0; layer < covers.Length; layer++)
        {
            if (covers[layer] is { } cover)
            {
                byte[] tints = Array.ConvertAll(
                    cover, part => part <= 0 ? (byte)0 : (byte)Math.Clamp(Math.Round(part * Palette.TintCount), 1, Palette.TintCount));
                maps.Add(new SceneMap(Frame.PlotWidth, Frame.PlotHeight, layer, tints));
            }
        }

        return maps.ToImmutable();
    }

    private ImmutableArray<string> Notes()
    {
        var notes = ImmutableArray.CreateBuilder<string>();
        if (covers.Any(cover => cover is not null))
        {
            notes.Add("Areas small against a pixel are summed: the tint shows how much of a pixel is covered. A smaller window shows them singly.");
        }

        if (perLayer.Count(count => count > 0) > Palette.HueCount)
        {
            notes.Add("There are more layers than colours: colours repeat.");
        }

        return notes.ToImmutable();
    }

    private int FirstHue() => Math.Max(0, Array.FindIndex(perLayer, count => count > 0));

    private void AddPart(int layer, DoseFactor factor, SceneRole role, ReadOnlySpan<ScenePoint> points)
    {
        (int, int, SceneRole) key = (layer, Range.TintOf(factor.Value), role);
        if (!paths.TryGetValue(key, out ScenePathBuilder? path))
        {
            path = new ScenePathBuilder();
            paths.Add(key, path);
        }

        foreach (ScenePoint point in points)
        {
            path.Add(point.X, point.Y);
        }

        path.EndPart();
    }
}
