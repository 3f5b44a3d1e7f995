namespace PatternCompiler.Pictures.Plots;

/// <summary>Draws a plot on any surface.</summary>
internal sealed class PlotPainter(Plot plot, IPictureSurface surface)
{
    private const double TextHeight = 8.5;
    private const double RoomForNumbers = 46;
    private const int Left = PlotRenderer.PlotLeft;
    private const int Top = PlotRenderer.PlotTop;
    private const int Right = PlotRenderer.PlotRight;
    private const int Bottom = PlotRenderer.PlotBottom;

    public void Paint()
    {
        surface.FillRectangle(0, 0, PlotRenderer.Width, PlotRenderer.Height, Palette.Paper);
        surface.FillRectangle(Left, Top, Right - Left, Bottom - Top, Palette.Plot);
        Label.Draw(surface, Label.Fit(plot.Title, 13, PlotRenderer.Width - Left - 20), Left, 27, 13, Palette.Ink, isBold: true);
        Label.Draw(surface, Label.Fit(plot.Facts, TextHeight, PlotRenderer.Width - Left - 20), Left, 48, TextHeight, Palette.FaintInk);
        PaintCells();
        PaintAxes();
        surface.BeginClip(Left, Top, Right - Left, Bottom - Top);
        foreach (PlotSeries series in plot.Series)
        {
            PaintSeries(series);
        }

        surface.EndClip();
        PaintLegend();
    }

    private double PixelX(double x) => Left + plot.X.PartOf(x) * (Right - Left);

    private double PixelY(double y) => Bottom - plot.Y.PartOf(y) * (Bottom - Top);

    private void PaintCells()
    {
        if (plot.Cells is not { } cells)
        {
            return;
        }

        for (int row = 0; row < cells.Rows; row++)
        {
            for (int column = 0; column < cells.Columns; column++)
            {
                byte tint = cells.Tints.Span[row * cells.Columns + column];
                if (tint > 0)
                {
                    double x0 = Math.Round(Left + (double)column * (Right - Left) / cells.Columns);
                    double x1 = Math.Round(Left + (column + 1.0) * (Right - Left) / cells.Columns);
                    double y0 = Math.Round(Bottom - (row + 1.0) * (Bottom - Top) / cells.Rows);
                    double y1 = Math.Round(Bottom - (double)row * (Bottom - Top) / cells.Rows);
                    surface.FillRectangle(x0, y0, x1 - x0, y1 - y0, Palette.Tint(cells.Scale.Hue, tint));
                }
            }
        }
    }

    private void PaintAxes()
    {
        var alongX = PlotTicks.Of(plot.X, 8).Select(tick => (Math.Floor(PixelX(tick.Value)), tick.Label));
        foreach ((double x, string label) in TickLabels.WithRoom(alongX, text => Label.Width(text, TextHeight)))
        {
            PaintTickLine(x, Top, 1, Bottom - Top);
            surface.FillRectangle(x, Bottom, 1, 6, Palette.FaintInk);
            Label.Draw(surface, label, x + 0.5, Bottom + 19, TextHeight, Palette.Ink, 0.5);
        }

        var alongY = PlotTicks.Of(plot.Y, 7).Select(tick => (Math.Floor(PixelY(tick.Value)), tick.Label));
        foreach ((double y, string label) in TickLabels.WithRoom(alongY, _ => TextHeight))
        {
            PaintTickLine(Left, y, Right - Left, 1);
            surface.FillRectangle(Left - 6, y, 6, 1, Palette.FaintInk);

            // A long number is drawn smaller: what stands left of it is the name of the axis.
            double height = Math.Min(TextHeight, TextHeight * RoomForNumbers / Math.Max(1, Label.Width(label, TextHeight)));
            Label.Draw(surface, label, Left - 10, y + height / 2, height, Palette.Ink, 1);
        }

        surface.FillRectangle(Left - 1, Top - 1, Right - Left + 2, 1, Palette.FaintInk);
        surface.FillRectangle(Left - 1, Bottom, Right - Left + 2, 1, Palette.FaintInk);
        surface.FillRectangle(Left - 1, Top - 1, 1, Bottom - Top + 2, Palette.FaintInk);
        surface.FillRectangle(Right, Top - 1, 1, Bottom - Top + 2, Palette.FaintInk);
        Label.Draw(surface, plot.X.Label, (Left + Right) / 2.0, Bottom + 42, TextHeight, Palette.Ink, 0.5);
        Label.DrawUpward(surface, plot.Y.Label, 22, (Top + Bottom) / 2.0, TextHeight, Palette.Ink);
    }

    private void PaintTickLine(double x, double y, double width, double height)
    {
        if (plot.Cells is null)
        {
            surface.FillRectangle(x, y, width, height, Palette.TickLine);
        }
    }

    private void PaintSeries(PlotSeries series)
    {
        var path = new ScreenPath();
        int inPart = 0;
        foreach ((double x, double y) in series.Points)
        {
            double px = PixelX(x);
            double py = PixelY(y);
            if (!double.IsFinite(px) || !double.IsFinite(py))
            {
                inPart = EndPart(path, inPart);
                continue;
            }

            // Far outside the frame a surface's own arithmetic would suffer.
            path.Add(Math.Clamp(px, -1e5, 1e5), Math.Clamp(py, -1e5, 1e5));
            inPart++;
            inPart = series.Mark == PlotMark.Dots ? EndPart(path, inPart) : inPart;
        }

        EndPart(path, inPart);
        Draw(path, series);
    }

    private static int EndPart(ScreenPath path, int inPart)
    {
        if (inPart > 0)
        {
            path.EndPart();
        }

        return 0;
    }

    private void Draw(ScreenPath path, PlotSeries series)
    {
        PictureColour colour = Palette.Hue(series.Hue);
        if (series.Mark == PlotMark.Dots)
        {
            surface.Discs(path, colour, 3.4);
        }
        else
        {
            surface.Stroke(path, colour, 1.8, dashed: series.Mark == PlotMark.DashedLine);
        }
    }

    private void PaintLegend()
    {
        double y = Top + 12;
        foreach (PlotSeries series in plot.Series.Where(s => s.Name.Length > 0))
        {
            var path = new ScreenPath();
            path.Add(Right + 18, y - TextHeight / 2);
            if (series.Mark != PlotMark.Dots)
            {
                path.Add(Right + 38, y - TextHeight / 2);
            }

            path.EndPart();
            Draw(path, series);
            Label.Draw(
                surface, Label.Fit(series.Name, TextHeight, PlotRenderer.Width - Right - 58), Right + 48, y, TextHeight, Palette.Ink);
            y += 21;
        }

        if (plot.Cells is { } cells)
        {
            LegendPainter.PaintTintScale(cells.Scale, surface, Right + 18, y + 8);
        }
    }
}
