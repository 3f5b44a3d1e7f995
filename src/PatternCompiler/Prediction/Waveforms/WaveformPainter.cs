using System.Collections.Immutable;
using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Prediction.Waveforms;

/// <summary>Draws traces on any surface. Everything stays readable from the narrowest picture on: texts break into lines.</summary>
internal sealed class WaveformPainter
{
    private const double TitleHeight = 13;
    private const double TextHeight = 8.5;
    private const double LineHeight = 18;
    private const int LeftRoom = 80;
    private const int RightRoom = 84;
    private const int BottomRoom = 54;
    private const int Gap = 14;
    private const int SampleWidth = 26;
    private const double PixelsBetweenTicks = 84;

    private readonly WaveformPicture picture;
    private readonly ImmutableArray<string> facts;
    private readonly int plotTop;
    private readonly int left = LeftRoom;
    private readonly int right;

    /// <summary>Chooses the picture's size.</summary>
    public WaveformPainter(WaveformPicture picture)
    {
        this.picture = picture;
        right = picture.Width - RightRoom;
        facts = Wrapped(picture.Facts, picture.Width - 40);
        int rows = facts.Length + LegendRows().Max(entry => entry.Row) + 1;
        plotTop = 34 + (int)(rows * LineHeight) + 12;
        Height = picture.Height > 0 ? Math.Max(picture.Height, plotTop + BottomRoom + 200) : plotTop + BottomRoom + Math.Max(420, (int)(picture.Width * 0.45));
    }

    /// <summary>Width of the picture in pixels.</summary>
    public int Width => picture.Width;

    /// <summary>Height of the picture in pixels.</summary>
    public int Height { get; }

    /// <summary>Writes SVG to a stream, which stays open.</summary>
    public static void RenderSvg(WaveformPicture picture, Stream output)
    {
        var painter = new WaveformPainter(picture);
        using var surface = new SvgSurface(output, painter.Width, painter.Height, picture.Title, picture.Facts);
        painter.Paint(surface);
    }

    /// <summary>Writes PNG to a stream, which stays open.</summary>
    public static void RenderPng(WaveformPicture picture, Stream output)
    {
        var painter = new WaveformPainter(picture);
        using var surface = new SkiaSurface(painter.Width, painter.Height);
        painter.Paint(surface);
        surface.Encode(output);
    }

    private void Paint(IPictureSurface surface)
    {
        surface.FillRectangle(0, 0, Width, Height, Palette.Paper);
        Label.Draw(surface, Label.Fit(picture.Title, TitleHeight, Width - 40), 20, 27, TitleHeight, Palette.Ink, isBold: true);
        double y = 34 + LineHeight - 4;
        foreach (string line in facts)
        {
            Label.Draw(surface, Label.Fit(line, TextHeight, Width - 40), 20, y, TextHeight, Palette.FaintInk);
            y += LineHeight;
        }

        PaintLegend(surface, y);
        double room = Height - plotTop - BottomRoom - Gap * (picture.Panels.Length - 1);
        double top = plotTop;
        foreach (WaveformPanel panel in picture.Panels)
        {
            double height = Math.Floor(room * panel.Share);
            PaintPanel(surface, panel, Math.Round(top), Math.Round(height));
            top += height + Gap;
        }

        PaintTime(surface, Math.Round(top) - Gap);
    }

    private IEnumerable<(int Row, double X, CurveLook Look, string Text)> LegendRows()
    {
        int row = 0;
        double x = 20;
        foreach ((CurveLook look, string text) in picture.Legend)
        {
            double width = SampleWidth + 8 + Label.Width(text, TextHeight) + 22;
            if (x > 20 && x + width > picture.Width)
            {
                (row, x) = (row + 1, 20);
            }

            yield return (row, x, look, text);
            x += width;
        }
    }

    private void PaintLegend(IPictureSurface surface, double top)
    {
        foreach ((int row, double x, CurveLook look, string text) in LegendRows())
        {
            double y = top + row * LineHeight;
            var sample = new ScreenPath();
            sample.Add(x, y - TextHeight / 2);
            sample.Add(x + SampleWidth, y - TextHeight / 2);
            sample.EndPart();
            Stroke(surface, sample, look);
            Label.Draw(surface, Label.Fit(text, TextHeight, Width - 20 - x - SampleWidth - 8), x + SampleWidth + 8, y, TextHeight, Palette.Ink);
        }
    }

    private void PaintPanel(IPictureSurface surface, WaveformPanel panel, double top, double height)
    {
        double bottom = top + height;
        surface.FillRectangle(left, top, right - left, height, Palette.Plot);
        foreach ((double x, _) in TimeTicks())
        {
            surface.FillRectangle(x, top, 1, height, Palette.TickLine);
        }

        IEnumerable<(double, string)> leftTicks = panel.LeftTicks.Select(tick => (Math.Floor(bottom - tick.Place * height), tick.Label));
        foreach ((double y, string label) in TickLabels.WithRoom(leftTicks, _ => TextHeight))
        {
            surface.FillRectangle(left, y, right - left, 1, Palette.TickLine);
            surface.FillRectangle(left - 5, y, 5, 1, Palette.FaintInk);
            Number(surface, label, left - 9, y, 1);
        }

        IEnumerable<(double, string)> rightTicks = panel.RightTicks.Select(tick => (Math.Floor(bottom - tick.Place * height), tick.Label));
        foreach ((double y, string label) in TickLabels.WithRoom(rightTicks, _ => TextHeight))
        {
            surface.FillRectangle(right, y, 5, 1, Palette.FaintInk);
            Number(surface, label, right + 9, y, 0);
        }

        surface.BeginClip(left, top, right - left, height);
        foreach (WaveformCurve curve in panel.Curves)
        {
            Stroke(surface, PathOf(curve, top, height), curve.Look);
        }

        surface.EndClip();
        surface.FillRectangle(left - 1, top - 1, right - left + 2, 1, Palette.FaintInk);
        surface.FillRectangle(left - 1, bottom, right - left + 2, 1, Palette.FaintInk);
        surface.FillRectangle(left - 1, top - 1, 1, height + 2, Palette.FaintInk);
        surface.FillRectangle(right, top - 1, 1, height + 2, Palette.FaintInk);
        Upward(surface, panel.Left, 24, top, height);
        Upward(surface, panel.RightLabel, Width - 14, top, height);
    }

    // Names of scales are drawn smaller rather than cut: a strip may be lower than its name is long.
    private static void Upward(IPictureSurface surface, string text, double x, double top, double height)
    {
        double size = Math.Min(TextHeight, TextHeight * (height + 8) / Math.Max(1, Label.Width(text, TextHeight)));
        Label.DrawUpward(surface, text, x, top + height / 2, size, Palette.Ink);
    }

    private static void Number(IPictureSurface surface, string text, double x, double y, double anchor)
    {
        const double Room = 46;
        double size = Math.Min(TextHeight, TextHeight * Room / Math.Max(1, Label.Width(text, TextHeight)));
        Label.Draw(surface, text, x, y + size / 2, size, Palette.Ink, anchor);
    }

    private IEnumerable<(double X, string Label)> TimeTicks()
    {
        int most = Math.Max(2, (int)((right - left) / PixelsBetweenTicks));
        var ticks = PlotTicks.Of(picture.Time, most).Select(tick => (Math.Floor(left + picture.Time.PartOf(tick.Value) * (right - left)), tick.Label));
        return TickLabels.WithRoom(ticks, text => Label.Width(text, TextHeight));
    }

    private void PaintTime(IPictureSurface surface, double bottom)
    {
        foreach ((double x, string label) in TimeTicks())
        {
            surface.FillRectangle(x, bottom, 1, 6, Palette.FaintInk);
            Label.Draw(surface, label, x + 0.5, bottom + 19, TextHeight, Palette.Ink, 0.5);
        }

        Label.Draw(surface, Label.Fit(picture.Time.Label, TextHeight, Width - 20), (left + right) / 2.0, bottom + 40, TextHeight, Palette.Ink, 0.5);
    }

    /// <summary>
    /// The way of a curve on the picture: what lies within one column of pixels goes from its first to its lowest, highest and last value, so
    /// that no spike is lost however much there is.
    /// </summary>
    private ScreenPath PathOf(WaveformCurve curve, double top, double height)
    {
        var path = new ScreenPath();
        (double lastX, double lastY) = (double.NaN, double.NaN);
        Envelope gathered = Envelope.None;
        double pixel = double.NaN;
        foreach ((double from, double to, Envelope course) in curve.Pieces)
        {
            double x0 = left + from * (right - left);
            double x1 = left + to * (right - left);
            if (x1 < left - 2 || x0 > right + 2)
            {
                continue;
            }

            if (x1 - x0 >= 1 || from == to)
            {
                Flush();
                Add(x0, course.First);
                if (course.Low < Math.Min(course.First, course.Last) || course.High > Math.Max(course.First, course.Last))
                {
                    Add((x0 + x1) / 2, course.Low);
                    Add((x0 + x1) / 2, course.High);
                }

                Add(x1, course.Last);
                continue;
            }

            double column = Math.Floor((x0 + x1) / 2);
            if (column != pixel)
            {
                Flush();
                pixel = column;
            }

            gathered = gathered.Then(course);
        }

        Flush();
        if (path.PointCount > 0)
        {
            path.EndPart();
        }

        return path;

        void Flush()
        {
            if (!gathered.IsEmpty)
            {
                double x = Math.Clamp(pixel + 0.5, left, right);
                Add(x, gathered.First);
                Add(x, gathered.Low);
                Add(x, gathered.High);
                Add(x, gathered.Last);
            }

            gathered = Envelope.None;
            pixel = double.NaN;
        }

        void Add(double x, double value)
        {
            double y = Math.Clamp(top + height - value * height, -1e4, 1e4);
            if (x != lastX || y != lastY)
            {
                path.Add(x, y);
                (lastX, lastY) = (x, y);
            }
        }
    }

    private static void Stroke(IPictureSurface surface, ScreenPath path, CurveLook look)
    {
        switch (look)
        {
            case CurveLook.Measured:
                surface.Stroke(path, Palette.Tint(2, 4), 6);
                break;
            case CurveLook.Commanded:
                surface.Stroke(path, Palette.Hue(0), 1.6);
                break;
            default:
                surface.Stroke(path, Palette.Hue(4), 1.6, dashed: true);
                break;
        }
    }

    private static ImmutableArray<string> Wrapped(string text, double width)
    {
        var lines = ImmutableArray.CreateBuilder<string>();
        string line = "";
        foreach (string part in text.Split(" · "))
        {
            // A fact that is longer than a line breaks between its words.
            string[] pieces = Label.Width(part, TextHeight) > width ? part.Split(' ') : [part];
            for (int i = 0; i < pieces.Length; i++)
            {
                string longer = line.Length == 0 ? pieces[i] : $"{line}{(i == 0 ? " · " : " ")}{pieces[i]}";
                if (line.Length > 0 && (Label.Width(longer, TextHeight) > width || (i == 0 && pieces.Length > 1)))
                {
                    lines.Add(line);
                    longer = pieces[i];
                }

                line = longer;
            }
        }

        lines.Add(line);
        return lines.ToImmutable();
    }
}
