using System.Runtime.InteropServices;

namespace PatternCompiler.Pictures;

/// <summary>Draws a map of exposure as runs of equal tint.</summary>
internal static class MapPainter
{
    public static void Paint(SceneMap map, PictureFrame frame, IPictureSurface surface)
    {
        var runs = new List<PixelRun>?[Palette.TintCount + 1];
        ReadOnlySpan<byte> tints = map.Tints.Span;
        for (int row = 0; row < map.Rows; row++)
        {
            AddRuns(tints.Slice(row * map.Columns, map.Columns), frame.PlotTop + row, runs);
        }

        for (int tint = 1; tint <= Palette.TintCount; tint++)
        {
            if (runs[tint] is { } ofTint)
            {
                surface.FillRuns(CollectionsMarshal.AsSpan(ofTint), Palette.Tint(map.Hue, tint));
            }
        }
    }

    private static void AddRuns(ReadOnlySpan<byte> line, int row, List<PixelRun>?[] runs)
    {
        int column = 0;
        while (column < line.Length)
        {
            byte tint = line[column];
            int length = line[column..].IndexOfAnyExcept(tint);
            length = length < 0 ? line.Length - column : length;
            if (tint > 0)
            {
                (runs[tint] ??= []).Add(new PixelRun(PictureFrame.PlotLeft + column, row, length));
            }

            column += length;
        }
    }
}
