using System.Collections.Immutable;

namespace PatternCompiler.Pictures;

/// <summary>
/// Gathers exposures and jumps for a picture in bounded memory. Up to a limit every line and dot is kept and drawn;
/// beyond it they are summed into a map, because single strokes could not be told apart anyway.
/// </summary>
internal sealed class ExposureCollector
{
    internal const int MostExactExposures = 200_000;
    private const double SmallestPointSpacingPixels = 5;
    private const int Hue = 0;
    private readonly PictureOptions options;
    private readonly SceneExtent? window;
    private readonly JumpSampler jumps;
    private readonly List<Exposure> exact = [];
    private ExposureMap? map;
    private SceneExtent extent = SceneExtent.Empty;
    private ScenePoint? first;
    private ScenePoint last;

    public ExposureCollector(PictureOptions options)
    {
        this.options = options;
        window = options.Window is null ? null : PictureFrame.Choose(SceneExtent.Empty, options).View;
        jumps = new JumpSampler(window);
    }

    /// <summary>Extent of all exposures, in the window or not.</summary>
    public SceneExtent Extent => extent;

    public void AddJump(ScenePoint from, ScenePoint to) => jumps.Add(from, to);

    /// <summary>Adds a run of points, or a dot if there is but one.</summary>
    /// <param name="from">First point.</param>
    /// <param name="to">Last point.</param>
    /// <param name="points">Number of points.</param>
    /// <param name="amount">Exposure of all points together, in the document's own measure.</param>
    public void AddExposure(ScenePoint from, ScenePoint to, int points, double amount)
    {
        extent = extent.With(from.X, from.Y).With(to.X, to.Y);
        first ??= from;
        last = to;
        if (window is { } shown && !shown.Meets(from.X, from.Y, to.X, to.Y))
        {
            return;
        }

        if (map is not null)
        {
            map.AddLine(from.X, from.Y, to.X, to.Y, points, amount);
            return;
        }

        exact.Add(new Exposure(from, to, points, amount));
        if (exact.Count > MostExactExposures)
        {
            MoveToMap();
        }
    }

    /// <summary>Puts the picture together.</summary>
    /// <param name="title">Title line.</param>
    /// <param name="facts">Line below it.</param>
    /// <param name="raster">The DAC's raster, or null.</param>
    /// <param name="pointMeasure">What the exposure of one point is called, and how it is printed.</param>
    /// <param name="areaMeasure">What exposure per square nanometre is called, and how it is printed.</param>
    public Scene Compose(
        string title, string facts, CodeRaster? raster, ExposureMeasure pointMeasure, ExposureMeasure areaMeasure)
    {
        PictureFrame frame = PictureFrame.Choose(extent, options);
        bool showsRaster = raster is not null
            && Math.Min(raster.StepXNanometres, raster.StepYNanometres) >= SmallestRasterPixels * frame.NanometresPerPixel;
        var batches = ImmutableArray.CreateBuilder<SceneBatch>();
        var legend = ImmutableArray.CreateBuilder<LegendEntry>();
        var notes = ImmutableArray.CreateBuilder<string>();
        TintScale? scale = null;
        ImmutableArray<SceneMap> maps = [];
        if (map is not null)
        {
            maps = [map.ToSceneMap(frame, Hue, out double strongest)];
            scale = new TintScale(areaMeasure.Name, "0", areaMeasure.Print(strongest), Hue);
            legend.Add(new LegendEntry(SceneRole.Area, Hue, "exposed"));
            notes.Add("Too many strokes to draw singly: the tint shows exposure per area. A smaller window shows strokes.");
        }
        else
        {
            scale = AddExact(frame, batches, legend, pointMeasure);
        }

        AddJumps(batches, legend, notes);
        if (map is null)
        {
            AddEnds(frame, batches, legend);
        }

        if (showsRaster)
        {
            legend.Add(new LegendEntry(SceneRole.Raster, 0, $"DAC raster {FactText.Length(raster!.StepXNanometres)}"));
        }

        return new Scene(
            frame, title, facts, notes.ToImmutable(), legend.ToImmutable(), scale, showsRaster ? raster : null, maps, batches.ToImmutable());
    }

    /// <summary>A code must be this wide for the DAC's raster to be worth drawing.</summary>
    internal const double SmallestRasterPixels = 4;

    private void MoveToMap()
    {
        map = window is { } shown ? new ExposureMap(shown, mayGrow: false) : new ExposureMap(extent, mayGrow: true);
        foreach (Exposure e in exact)
        {
            map.AddLine(e.From.X, e.From.Y, e.To.X, e.To.Y, e.Points, e.Amount);
        }

        exact.Clear();
        exact.TrimExcess();
    }

    private TintScale? AddExact(
        PictureFrame frame,
        ImmutableArray<SceneBatch>.Builder batches,
        ImmutableArray<LegendEntry>.Builder legend,
        ExposureMeasure measure)
    {
        double low = exact.Count == 0 ? 0 : exact.Min(e => e.AmountPerPoint);
        double high = exact.Count == 0 ? 0 : exact.Max(e => e.AmountPerPoint);
        var range = new TintRange(low, high);
        var lines = new ScenePathBuilder?[Palette.TintCount + 1];
        var dots = new ScenePathBuilder?[Palette.TintCount + 1];
        bool hasLines = false;
        bool hasDots = false;
        foreach (Exposure e in exact)
        {
            int tint = range.TintOf(e.AmountPerPoint);
            if (e.Points > 1)
            {
                (lines[tint] ??= new ScenePathBuilder()).AddSegment(e.From.X, e.From.Y, e.To.X, e.To.Y);
                hasLines = true;
            }

            hasDots |= AddPoints(frame, e, ref dots[tint]);
        }

        for (int tint = 1; tint <= Palette.TintCount; tint++)
        {
            if (lines[tint] is { } path)
            {
                batches.Add(new SceneBatch(SceneRole.Line, Hue, tint, path.ToPath()));
            }
        }

        for (int tint = 1; tint <= Palette.TintCount; tint++)
        {
            if (dots[tint] is { } path)
            {
                batches.Add(new SceneBatch(SceneRole.Dot, Hue, tint, path.ToPath()));
            }
        }

        if (hasLines)
        {
            legend.Add(new LegendEntry(SceneRole.Line, Hue, "exposed line"));
        }

        if (hasDots)
        {
            legend.Add(new LegendEntry(SceneRole.Dot, Hue, "exposed point"));
        }

        return range.Varies ? new TintScale(measure.Name, measure.Print(low), measure.Print(high), Hue) : null;
    }

    /// <summary>Adds a dot, or the points of a line where they stand far enough apart to be seen.</summary>
    private static bool AddPoints(PictureFrame frame, Exposure e, ref ScenePathBuilder? dots)
    {
        if (e.Points == 1)
        {
            (dots ??= new ScenePathBuilder()).AddDot(e.From.X, e.From.Y);
            return true;
        }

        double dx = (e.To.X - e.From.X) / (e.Points - 1);
        double dy = (e.To.Y - e.From.Y) / (e.Points - 1);
        double spacing = Math.Sqrt(dx * dx + dy * dy);
        if (spacing < SmallestPointSpacingPixels * frame.NanometresPerPixel)
        {
            return false;
        }

        ScenePoint a = e.From;
        ScenePoint b = e.To;
        if (!new ViewClip(frame.View).ClipSegment(ref a, ref b))
        {
            return false;
        }

        // Only the points between the ends of the visible part: a long line in a small window has millions elsewhere.
        double length = spacing * (e.Points - 1);
        int from = (int)Math.Floor(Distance(e.From, a) / length * (e.Points - 1));
        int to = Math.Min(e.Points - 1, (int)Math.Ceiling(Distance(e.From, b) / length * (e.Points - 1)));
        dots ??= new ScenePathBuilder();
        for (int i = from; i <= to; i++)
        {
            dots.AddDot(e.From.X + i * dx, e.From.Y + i * dy);
        }

        return true;
    }

    private static double Distance(ScenePoint a, ScenePoint b) =>
        Math.Sqrt((a.X - b.X) * (a.X - b.X) + (a.Y - b.Y) * (a.Y - b.Y));

    private void AddJumps(
        ImmutableArray<SceneBatch>.Builder batches, ImmutableArray<LegendEntry>.Builder legend, ImmutableArray<string>.Builder notes)
    {
        if (jumps.Kept == 0)
        {
            return;
        }

        batches.Add(new SceneBatch(SceneRole.Jump, 0, Palette.TintCount, jumps.ToPath()));
        legend.Add(new LegendEntry(SceneRole.Jump, 0, "jump, beam off"));
        if (jumps.Kept < jumps.Offered)
        {
            notes.Add($"Of {FactText.Count(jumps.Offered, "jump", "jumps")} the {FactText.Grouped(jumps.Kept)} longest are drawn.");
        }
    }

    private void AddEnds(PictureFrame frame, ImmutableArray<SceneBatch>.Builder batches, ImmutableArray<LegendEntry>.Builder legend)
    {
        AddEnd(SceneRole.Start, first, "first point");
        AddEnd(SceneRole.Finish, first is null ? null : last, "last point");

        void AddEnd(SceneRole role, ScenePoint? place, string text)
        {
            if (place is { } p && frame.View.Meets(p.X, p.Y, p.X, p.Y))
            {
                var mark = new ScenePathBuilder();
                mark.AddDot(p.X, p.Y);
                batches.Add(new SceneBatch(role, 0, Palette.TintCount, mark.ToPath()));
                legend.Add(new LegendEntry(role, 0, text));
            }
        }
    }

    private readonly record struct Exposure(ScenePoint From, ScenePoint To, int Points, double Amount)
    {
        public double AmountPerPoint => Amount / Points;
    }
}

/// <summary>A quantity that tints stand for.</summary>
/// <param name="Name">What it is called in the legend.</param>
/// <param name="Print">Prints a value.</param>
internal sealed record ExposureMeasure(string Name, Func<double, string> Print);
