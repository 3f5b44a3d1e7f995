using System.Buffers.Text;
using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Pictures;

/// <summary>Writes SVG 2 (W3C) elements. Coordinates are whole hundredths of a pixel, so the bytes are the same everywhere.</summary>
internal sealed class SvgSurface : IPictureSurface, IDisposable
{
    private const int FlushBytes = 1 << 16;
    private const int LongestText = 4000;
    private readonly Stream output;
    private readonly byte[] buffer = new byte[FlushBytes + 256];
    private int used;
    private int clips;

    public SvgSurface(Stream output, int width, int height, string title, string description)
    {
        this.output = output;
        Text($"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {width} {height}\" role=\"img\">\n");
        Text($"<title>{Escape(title)}</title>\n<desc>{Escape(description)}</desc>\n");
    }

    public void FillRectangle(double x, double y, double width, double height, PictureColour colour)
    {
        Text("<rect x=\"");
        Number(Hundredths(x));
        Text("\" y=\"");
        Number(Hundredths(y));
        Text("\" width=\"");
        Number(Hundredths(width));
        Text("\" height=\"");
        Number(Hundredths(height));
        Text("\" shape-rendering=\"crispEdges\"");
        Paint("fill", colour);
        Text("/>\n");
    }

    public void FillRuns(ReadOnlySpan<PixelRun> runs, PictureColour colour)
    {
        Text("<path fill=\"none\" stroke-width=\"1\" shape-rendering=\"crispEdges\"");
        Paint("stroke", colour);
        Text(" d=\"");
        foreach (PixelRun run in runs)
        {
            Text("M");
            Number(run.X * 100L);
            Text(" ");
            Number(run.Y * 100L + 50);
            Text("h");
            Number(run.Length * 100L);
        }

        Text("\"/>\n");
    }

    public void Fill(ScreenPath path, PictureColour colour)
    {
        if (path.Count == 0)
        {
            return;
        }

        Text("<path");
        Paint("fill", colour);
        Text(" d=\"");
        PathData(path, closed: true);
        Text("\"/>\n");
    }

    public void Stroke(ScreenPath path, PictureColour colour, double width, bool closed = false, bool dashed = false)
    {
        if (path.Count == 0)
        {
            return;
        }

        Text("<path fill=\"none\" stroke-linejoin=\"round\"");
        Text(dashed ? " stroke-dasharray=\"4 3\"" : " stroke-linecap=\"round\"");
        StrokePaint(colour, width);
        PathData(path, closed);
        Text("\"/>\n");
    }

    public void Discs(ScreenPath path, PictureColour colour, double radius)
    {
        if (path.PointCount == 0)
        {
            return;
        }

        // A line of no length with round ends is a disc: far shorter than a circle element.
        Text("<path fill=\"none\" stroke-linecap=\"round\"");
        StrokePaint(colour, 2 * radius);
        foreach ((float x, float y) in path.Points)
        {
            Text("M");
            Number(Hundredths(x));
            Text(" ");
            Number(Hundredths(y));
            Text("h0");
        }

        Text("\"/>\n");
    }

    public void BeginClip(double x, double y, double width, double height)
    {
        clips++;
        Text($"<clipPath id=\"clip{clips}\"><rect x=\"");
        Number(Hundredths(x));
        Text("\" y=\"");
        Number(Hundredths(y));
        Text("\" width=\"");
        Number(Hundredths(width));
        Text("\" height=\"");
        Number(Hundredths(height));
        Text($"\"/></clipPath>\n<g clip-path=\"url(#clip{clips})\">\n");
    }

    public void EndClip() => Text("</g>\n");

    /// <summary>Ends the drawing; the stream stays open.</summary>
    public void Dispose()
    {
        Text("</svg>\n");
        Flush();
    }

    private static long Hundredths(double pixels) => (long)Math.Round(pixels * 100, MidpointRounding.AwayFromZero);

    private static string Escape(string text)
    {
        var escaped = new StringBuilder(text.Length);
        foreach (char c in PrintedText.Of(text, LongestText))
        {
            _ = c switch
            {
                '&' => escaped.Append("&amp;"),
                '<' => escaped.Append("&lt;"),
                '>' => escaped.Append("&gt;"),
                < ' ' or '\uFFFE' or '\uFFFF' => escaped.Append(' '),
                _ => escaped.Append(c),
            };
        }

        return escaped.ToString();
    }

    private void StrokePaint(PictureColour colour, double width)
    {
        Paint("stroke", colour);
        Text(" stroke-width=\"");
        Number(Hundredths(width));
        Text("\" d=\"");
    }

    private void Paint(string attribute, PictureColour colour)
    {
        Text(string.Create(CultureInfo.InvariantCulture, $" {attribute}=\"#{colour.Red:x2}{colour.Green:x2}{colour.Blue:x2}\""));
        if (colour.Alpha < 255)
        {
            Text($" {attribute}-opacity=\"");
            Number((colour.Alpha * 100 + 127) / 255);
            Text("\"");
        }
    }

    private void PathData(ScreenPath path, bool closed)
    {
        for (int part = 0; part < path.Count; part++)
        {
            long lastX = 0;
            long lastY = 0;
            bool isFirst = true;
            foreach ((float px, float py) in path[part])
            {
                long x = Hundredths(px);
                long y = Hundredths(py);
                Text(isFirst ? "M" : "l");
                Number(x - lastX);
                Text(" ");
                Number(y - lastY);
                (lastX, lastY, isFirst) = (x, y, false);
            }

            if (closed)
            {
                Text("z");
            }
        }
    }

    /// <summary>Writes hundredths as a decimal number without needless zeros.</summary>
    private void Number(long hundredths)
    {
        if (hundredths < 0)
        {
            buffer[used++] = (byte)'-';
            hundredths = -hundredths;
        }

        (long whole, long rest) = Math.DivRem(hundredths, 100);
        Utf8Formatter.TryFormat(whole, buffer.AsSpan(used), out int written);
        used += written;
        if (rest > 0)
        {
            buffer[used++] = (byte)'.';
            buffer[used++] = (byte)('0' + rest / 10);
            if (rest % 10 > 0)
            {
                buffer[used++] = (byte)('0' + rest % 10);
            }
        }

        FlushIfFull();
    }

    private void Text(string text)
    {
        if (text.Length * 3 > buffer.Length - used)
        {
            Flush();
        }

        if (text.Length * 3 > buffer.Length)
        {
            output.Write(Encoding.UTF8.GetBytes(text));
            return;
        }

        used += Encoding.UTF8.GetBytes(text, buffer.AsSpan(used));
        FlushIfFull();
    }

    private void FlushIfFull()
    {
        if (used >= FlushBytes)
        {
            Flush();
        }
    }

    private void Flush()
    {
        output.Write(buffer, 0, used);
        used = 0;
    }
}
