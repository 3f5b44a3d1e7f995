namespace PatternCompiler.Pictures;

/// <summary>
/// Where on the picture the plot lies and which part of the sample it shows. One nanometre is equally long in x and y.
/// </summary>
/// <param name="Width">Width of the picture in pixels.</param>
/// <param name="Height">Height of the picture in pixels.</param>
/// <param name="PlotWidth">Width of the plot in pixels.</param>
/// <param name="PlotHeight">Height of the plot in pixels.</param>
/// <param name="View">What the plot shows, in nanometres.</param>
internal sealed record PictureFrame(int Width, int Height, int PlotWidth, int PlotHeight, SceneExtent View)
{
    /// <summary>Left edge of the plot, in pixels.</summary>
    public const int PlotLeft = 76;

    internal const int LegendWidth = 204;
    private const int TitleRoom = 62;
    private const int MarginBottom = 78;
    private const int BareMargin = 14;
    private const int BareMarginBottom = 46;
    private const double FreeMargin = 0.03;
    private const double SmallestViewNanometres = 1;

    /// <summary>Only the plot with its axes, without title and legend.</summary>
    public bool IsBare { get; init; }

    /// <summary>Upper edge of the plot, in pixels.</summary>
    public int PlotTop => IsBare ? BareMargin : TitleRoom;

    /// <summary>Size of a pixel on the sample.</summary>
    public double NanometresPerPixel => View.Width / PlotWidth;

    /// <summary>Chooses the frame for content of the given extent.</summary>
    public static PictureFrame Choose(SceneExtent content, PictureOptions options)
    {
        CheckSize(options.WidthPixels, nameof(options.WidthPixels));
        int top = options.IsBare ? BareMargin : TitleRoom;
        int below = options.IsBare ? BareMarginBottom : MarginBottom;
        int plotWidth = options.WidthPixels - PlotLeft - (options.IsBare ? BareMargin : LegendWidth);
        SceneExtent shown = content.IsEmpty ? new SceneExtent(-500, -500, 500, 500) : content;
        if (options.Window is { } window)
        {
            double half = Math.Max(window.WidthNanometres, SmallestViewNanometres) / 2;
            shown = new SceneExtent(
                window.CentreXNanometres - half, window.CentreYNanometres, window.CentreXNanometres + half, window.CentreYNanometres);
        }
        else
        {
            shown = Widen(shown);
        }

        int plotHeight;
        if (options.HeightPixels == 0)
        {
            double shape = options.Window is null ? Math.Clamp(shown.Height / shown.Width, 0.45, 1.05) : 0.8;
            plotHeight = Math.Max(160, (int)Math.Round(plotWidth * shape));
        }
        else
        {
            CheckSize(options.HeightPixels, nameof(options.HeightPixels));
            plotHeight = options.HeightPixels - top - below;
        }

        return new PictureFrame(
            options.WidthPixels, plotHeight + top + below, plotWidth, plotHeight, Fit(shown, plotWidth, plotHeight))
        {
            IsBare = options.IsBare,
        };
    }

    /// <summary>Pixel column of a place, counted from the picture's left edge.</summary>
    internal double PixelX(double x) => PlotLeft + (x - View.Left) * PlotWidth / View.Width;

    /// <summary>Pixel row of a place, counted from the picture's upper edge.</summary>
    internal double PixelY(double y) => PlotTop + (View.Top - y) * PlotHeight / View.Height;

    private static SceneExtent Widen(SceneExtent extent)
    {
        double margin = Math.Max(Math.Max(extent.Width, extent.Height) * FreeMargin, SmallestViewNanometres);
        return new SceneExtent(extent.Left - margin, extent.Bottom - margin, extent.Right + margin, extent.Top + margin);
    }

    private static SceneExtent Fit(SceneExtent shown, int plotWidth, int plotHeight)
    {
        double scale = Math.Max(shown.Width / plotWidth, shown.Height / plotHeight);
        double centreX = (shown.Left + shown.Right) / 2;
        double centreY = (shown.Bottom + shown.Top) / 2;
        double halfWidth = scale * plotWidth / 2;
        double halfHeight = scale * plotHeight / 2;
        return new SceneExtent(centreX - halfWidth, centreY - halfHeight, centreX + halfWidth, centreY + halfHeight);
    }

    private static void CheckSize(int pixels, string name)
    {
        if (pixels is < PictureOptions.SmallestPixels or > PictureOptions.LargestPixels)
        {
            throw new ArgumentOutOfRangeException(
                name, pixels, $"A picture is {PictureOptions.SmallestPixels} to {PictureOptions.LargestPixels} pixels wide and high.");
        }
    }
}
