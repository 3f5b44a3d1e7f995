namespace PatternCompiler.Pictures;

/// <summary>The column right of the plot: legend, tint scale, scale bar.</summary>
internal static class LegendPainter
{
    private const double TextHeight = 8.5;
    private const double RowHeight = 21;
    private const double SampleWidth = 20;
    private const double ScaleBarRoom = 50;
    private const double TintScaleRoom = 70;

    public static void Paint(Scene scene, IPictureSurface surface)
    {
        PictureFrame frame = scene.Frame;
        double left = PictureFrame.PlotLeft + frame.PlotWidth + 18;
        double bottom = frame.PlotTop + frame.PlotHeight;
        double room = frame.PlotHeight - ScaleBarRoom - (scene.TintScale is null ? 0 : TintScaleRoom);
        int rows = Math.Min(scene.Legend.Length, Math.Max(1, (int)(room / RowHeight)));
        double y = frame.PlotTop + 12;
        for (int i = 0; i < rows; i++)
        {
            if (i == rows - 1 && scene.Legend.Length > rows)
            {
                Label.Draw(surface, $"and {scene.Legend.Length - i} more", left + SampleWidth + 10, y, TextHeight, Palette.FaintInk);
            }
            else
            {
                PaintEntry(scene.Legend[i], surface, left, y);
            }

            y += RowHeight;
        }

        if (scene.TintScale is not null)
        {
            PaintTintScale(scene.TintScale, surface, left, y + 12);
        }

        PaintScaleBar(frame, surface, left, bottom);
    }

    private static void PaintEntry(LegendEntry entry, IPictureSurface surface, double left, double baseline)
    {
        double middle = baseline - TextHeight / 2;
        var path = new ScreenPath();
        path.Add(left, middle);
        path.Add(left + SampleWidth, middle);
        path.EndPart();
        var dot = new ScreenPath();
        dot.Add(left + SampleWidth / 2, middle);
        dot.EndPart();
        switch (entry.Role)
        {
            case SceneRole.Line:
                surface.Stroke(path, Palette.Hue(entry.Hue), 1.8);
                break;
            case SceneRole.Dot:
                surface.Discs(dot, Palette.Hue(entry.Hue), 2.6);
                break;
            case SceneRole.Jump:
                surface.Stroke(path, Palette.Jump, 1, dashed: true);
                var arrow = new ScreenPath();
                ShapePainter.AddArrow(arrow, left, middle, left + SampleWidth, middle, ShapePainter.ArrowPart);
                surface.Fill(arrow, Palette.Jump);
                break;
            case SceneRole.Start:
                surface.Discs(dot, Palette.Ink, 6);
                surface.Discs(dot, Palette.Plot, 4.2);
                break;
            case SceneRole.Finish:
                surface.FillRectangle(Math.Round(left + SampleWidth / 2) - 5, Math.Round(middle) - 5, 10, 10, Palette.Ink);
                surface.FillRectangle(Math.Round(left + SampleWidth / 2) - 3, Math.Round(middle) - 3, 6, 6, Palette.Plot);
                break;
            case SceneRole.Boundary:
                surface.Stroke(path, Palette.FaintInk, 0.8);
                break;
            case SceneRole.Seam:
                surface.Stroke(path, Palette.Ink, 1.4, dashed: true);
                break;
            case SceneRole.Alarm:
                surface.Stroke(path, Palette.Jump, 2.6);
                break;
            case SceneRole.Raster:
                for (int i = 0; i < 3; i++)
                {
                    surface.FillRectangle(Math.Round(left) + 3 + 6 * i, Math.Round(middle) - 7, 1, 14, Palette.CodeLine);
                    surface.FillRectangle(Math.Round(left), Math.Round(middle) - 6 + 6 * i, SampleWidth - 2, 1, Palette.CodeLine);
                }

                break;
            default:
                surface.FillRectangle(Math.Round(left), Math.Round(middle) - 6, SampleWidth, 12, Palette.Edge(entry.Hue));
                surface.FillRectangle(Math.Round(left) + 1, Math.Round(middle) - 5, SampleWidth - 2, 10, Palette.Hue(entry.Hue));
                break;
        }

        double textLeft = left + SampleWidth + 10;
        string text = Label.Fit(entry.Text, TextHeight, PictureFrame.LegendWidth - SampleWidth - 34);
        Label.Draw(surface, text, textLeft, baseline, TextHeight, Palette.Ink);
    }

    internal static void PaintTintScale(TintScale scale, IPictureSurface surface, double left, double top)
    {
        const double SwatchWidth = 13;
        Label.Draw(surface, Label.Fit(scale.Title, TextHeight, PictureFrame.LegendWidth - 24), left, top + TextHeight, TextHeight, Palette.FaintInk);
        for (int tint = 1; tint <= Palette.TintCount; tint++)
        {
            surface.FillRectangle(Math.Round(left) + (tint - 1) * SwatchWidth, top + 17, SwatchWidth, 11, Palette.Tint(scale.Hue, tint));
        }

        Label.Draw(surface, scale.Low, left, top + 42, TextHeight, Palette.Ink);
        Label.Draw(surface, scale.High, left + Palette.TintCount * SwatchWidth, top + 42, TextHeight, Palette.Ink, 1);
    }

    private static void PaintScaleBar(PictureFrame frame, IPictureSurface surface, double left, double bottom)
    {
        double longest = (PictureFrame.LegendWidth - 40) * frame.NanometresPerPixel;
        double length = AxisTicks.RoundLengthUpTo(longest);
        double pixels = Math.Round(length / frame.NanometresPerPixel);
        left = Math.Round(left);
        surface.FillRectangle(left, bottom - 8, pixels, 3, Palette.Ink);
        surface.FillRectangle(left, bottom - 12, 1, 11, Palette.Ink);
        surface.FillRectangle(left + pixels - 1, bottom - 12, 1, 11, Palette.Ink);
        Label.Draw(surface, FactText.Length(length), left + pixels / 2, bottom - 19, TextHeight, Palette.Ink, 0.5);
    }
}
