namespace PatternCompiler.Pictures;

/// <summary>Ticks, axis labels, and the raster of DAC codes.</summary>
internal sealed class AxisPainter
{
    private const double TextHeight = 8.5;
    private const double PixelsBetweenTicks = 84;
    private const double PixelsBetweenBareTicks = 52;
    private readonly PictureFrame frame;
    private readonly IPictureSurface surface;
    private readonly AxisTicks ticksX;
    private readonly AxisTicks ticksY;
    private readonly double right;
    private readonly double bottom;

    public AxisPainter(PictureFrame frame, IPictureSurface surface)
    {
        this.frame = frame;
        this.surface = surface;
        double spacing = (frame.IsBare ? PixelsBetweenBareTicks : PixelsBetweenTicks) * frame.NanometresPerPixel;
        ticksX = AxisTicks.Choose(frame.View.Left, frame.View.Right, spacing);
        ticksY = AxisTicks.Choose(frame.View.Bottom, frame.View.Top, spacing);
        right = PictureFrame.PlotLeft + frame.PlotWidth;
        bottom = frame.PlotTop + frame.PlotHeight;
    }

    public void PaintTickLines()
    {
        for (long k = ticksX.First; k <= ticksX.Last; k++)
        {
            surface.FillRectangle(Column(k * ticksX.StepNanometres), frame.PlotTop, 1, frame.PlotHeight, Palette.TickLine);
        }

        for (long k = ticksY.First; k <= ticksY.Last; k++)
        {
            surface.FillRectangle(PictureFrame.PlotLeft, Row(k * ticksY.StepNanometres), frame.PlotWidth, 1, Palette.TickLine);
        }
    }

    public void PaintCodeRaster(CodeRaster raster)
    {
        double x = raster.OffsetXNanometres
            + Math.Ceiling((frame.View.Left - raster.OffsetXNanometres) / raster.StepXNanometres) * raster.StepXNanometres;
        for (; x <= frame.View.Right; x += raster.StepXNanometres)
        {
            surface.FillRectangle(Column(x), frame.PlotTop, 1, frame.PlotHeight, Palette.CodeLine);
        }

        double y = raster.OffsetYNanometres
            + Math.Ceiling((frame.View.Bottom - raster.OffsetYNanometres) / raster.StepYNanometres) * raster.StepYNanometres;
        for (; y <= frame.View.Top; y += raster.StepYNanometres)
        {
            surface.FillRectangle(PictureFrame.PlotLeft, Row(y), frame.PlotWidth, 1, Palette.CodeLine);
        }
    }

    public void PaintAxes()
    {
        surface.FillRectangle(PictureFrame.PlotLeft - 1, frame.PlotTop - 1, frame.PlotWidth + 2, 1, Palette.FaintInk);
        surface.FillRectangle(PictureFrame.PlotLeft - 1, bottom, frame.PlotWidth + 2, 1, Palette.FaintInk);
        surface.FillRectangle(PictureFrame.PlotLeft - 1, frame.PlotTop - 1, 1, frame.PlotHeight + 2, Palette.FaintInk);
        surface.FillRectangle(right, frame.PlotTop - 1, 1, frame.PlotHeight + 2, Palette.FaintInk);
        for (long k = ticksX.First; k <= ticksX.Last; k++)
        {
            double x = Column(k * ticksX.StepNanometres);
            surface.FillRectangle(x, bottom, 1, 6, Palette.FaintInk);
            Label.Draw(surface, ticksX.Label(k), x + 0.5, bottom + 19, TextHeight, Palette.Ink, 0.5);
        }

        for (long k = ticksY.First; k <= ticksY.Last; k++)
        {
            double y = Row(k * ticksY.StepNanometres);
            surface.FillRectangle(PictureFrame.PlotLeft - 6, y, 6, 1, Palette.FaintInk);
            Label.Draw(surface, ticksY.Label(k), PictureFrame.PlotLeft - 10, y + TextHeight / 2, TextHeight, Palette.Ink, 1);
        }

        Label.Draw(surface, "x (µm)", (PictureFrame.PlotLeft + right) / 2, bottom + 38, TextHeight, Palette.Ink, 0.5);
        Label.DrawUpward(surface, "y (µm)", 18, frame.PlotTop + frame.PlotHeight / 2.0, TextHeight, Palette.Ink);
    }

    private double Column(double x) => Math.Floor(frame.PixelX(x));

    private double Row(double y) => Math.Floor(frame.PixelY(y));
}
