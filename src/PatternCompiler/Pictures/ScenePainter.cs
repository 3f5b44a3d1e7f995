namespace PatternCompiler.Pictures;

/// <summary>Draws a scene on any surface: first the frame's background, then the shapes, then axes, legend and text.</summary>
internal static class ScenePainter
{
    private const double TitleHeight = 13;
    private const double TextHeight = 8.5;

    public static void Paint(Scene scene, IPictureSurface surface)
    {
        PictureFrame frame = scene.Frame;
        surface.FillRectangle(0, 0, frame.Width, frame.Height, Palette.Paper);
        surface.FillRectangle(PictureFrame.PlotLeft, frame.PlotTop, frame.PlotWidth, frame.PlotHeight, Palette.Plot);
        if (!frame.IsBare)
        {
            PaintText(scene, surface);
        }

        var axes = new AxisPainter(frame, surface);
        axes.PaintTickLines();
        surface.BeginClip(PictureFrame.PlotLeft, frame.PlotTop, frame.PlotWidth, frame.PlotHeight);
        foreach (SceneMap map in scene.Maps)
        {
            MapPainter.Paint(map, frame, surface);
        }

        if (scene.CodeRaster is not null)
        {
            axes.PaintCodeRaster(scene.CodeRaster);
        }

        var shapes = new ShapePainter(frame, surface);
        foreach (SceneBatch batch in scene.Batches)
        {
            shapes.Paint(batch);
        }

        PaintLabels(scene, surface);
        surface.EndClip();
        axes.PaintAxes();
        if (!frame.IsBare)
        {
            LegendPainter.Paint(scene, surface);
        }
    }

    private static void PaintLabels(Scene scene, IPictureSurface surface)
    {
        foreach (SceneLabel label in scene.Labels)
        {
            double room = label.RoomNanometres / scene.Frame.NanometresPerPixel;
            if (Label.Fit(label.Text, TextHeight, room) == label.Text)
            {
                double x = scene.Frame.PixelX(label.X);
                double y = scene.Frame.PixelY(label.Y);
                double half = (Label.Width(label.Text, TextHeight) / 2) + 3;
                surface.FillRectangle(x - half, y - TextHeight, 2 * half, 2 * TextHeight, Palette.Plot with { Alpha = 220 });
                Label.Draw(surface, label.Text, x, y + (TextHeight / 2), TextHeight, Palette.Ink, 0.5);
            }
        }
    }

    private static void PaintText(Scene scene, IPictureSurface surface)
    {
        PictureFrame frame = scene.Frame;
        double room = frame.Width - PictureFrame.PlotLeft - 20;
        string title = Label.Fit(scene.Title, TitleHeight, room);
        Label.Draw(surface, title, PictureFrame.PlotLeft, 27, TitleHeight, Palette.Ink, isBold: true);
        string facts = Label.Fit(scene.Facts, TextHeight, room);
        Label.Draw(surface, facts, PictureFrame.PlotLeft, 48, TextHeight, Palette.FaintInk);

        double y = frame.PlotTop + frame.PlotHeight + 57;
        foreach (string note in scene.Notes)
        {
            Label.Draw(surface, Label.Fit(note, TextHeight, room), PictureFrame.PlotLeft, y, TextHeight, Palette.FaintInk);
            y += 16;
        }
    }
}
