using System.Runtime.InteropServices;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// Tiles that are looked at together, and the pages of records whose charge falls on them and about them. A map is halved along x or y, whichever tears
/// fewer pages apart, until a part is small.
/// </summary>
/// <param name="Left">Leftmost column of tiles.</param>
/// <param name="Bottom">Lowest row.</param>
/// <param name="Right">Column after the rightmost one.</param>
/// <param name="Top">Row after the topmost one.</param>
/// <param name="Places">Numbers of the tiles, ascending.</param>
/// <param name="Pages">The pages, ascending.</param>
internal sealed record MapPart(int Left, int Bottom, int Right, int Top, int[] Places, int[] Pages)
{
    // Pixels of a part; where the parts of a halved one would need nearly all of its pages again, each of them, it stays larger.
    private const long Small = 1L << 22;
    private const long Large = 1L << 25;
    private const double MostRepeated = 1.5;

    /// <summary>Parts that have all the places, in an order that depends on nothing else.</summary>
    /// <param name="map">The map.</param>
    /// <param name="places">Tiles; some of them may hold no charge.</param>
    /// <param name="halo">Pixels around a tile that matter to it.</param>
    public static List<MapPart> Of(ChargeMap map, IReadOnlyList<(int Column, int Row)> places, int halo)
    {
        var parts = new List<MapPart>();
        if (places.Count > 0)
        {
            Divide(With([.. Enumerable.Range(0, places.Count)]));
        }

        return parts;

        void Divide(MapPart part)
        {
            (int width, int height) = (part.Right - part.Left, part.Top - part.Bottom);
            long pixels = (long)width * height * ChargeMap.TileSide * ChargeMap.TileSide;
            if (pixels <= Small || width * height == 1)
            {
                parts.Add(part);
                return;
            }

            (MapPart First, MapPart Second)? halves = null;
            foreach (bool isAcross in (ReadOnlySpan<bool>)[height < width, height >= width])
            {
                if ((isAcross ? width : height) > 1)
                {
                    int middle = isAcross ? part.Left + width / 2 : part.Bottom + height / 2;
                    (MapPart First, MapPart Second) next = (
                        With([.. part.Places.Where(place => (isAcross ? places[place].Column : places[place].Row) < middle)]),
                        With([.. part.Places.Where(place => (isAcross ? places[place].Column : places[place].Row) >= middle)]));
                    halves = halves is { } known && PagesOf(known) <= PagesOf(next) ? known : next;
                }
            }

            if (pixels <= Large && PagesOf(halves!.Value) > MostRepeated * part.Pages.Length)
            {
                parts.Add(part);
                return;
            }

            Divide(halves!.Value.First);
            Divide(halves.Value.Second);
        }

        MapPart With(int[] chosen)
        {
            int left = chosen.Min(place => places[place].Column);
            int bottom = chosen.Min(place => places[place].Row);
            int right = chosen.Max(place => places[place].Column) + 1;
            int top = chosen.Max(place => places[place].Row) + 1;
            return new MapPart(left, bottom, right, top, chosen, PagesOn(map, left, bottom, right, top, (halo + ChargeMap.TileSide - 1) / ChargeMap.TileSide));
        }
    }

    private static int PagesOf((MapPart First, MapPart Second) halves) => halves.First.Pages.Length + halves.Second.Pages.Length;

    private static int[] PagesOn(ChargeMap map, int left, int bottom, int right, int top, int around)
    {
        var isOn = new bool[map.Journal!.Page + 1];
        for (int row = bottom - around; row < top + around; row++)
        {
            for (int column = left - around; column < right + around; column++)
            {
                foreach (int page in CollectionsMarshal.AsSpan(map.Tile((column, row))?.Pages))
                {
                    isOn[page] = true;
                }
            }
        }

        return [.. Enumerable.Range(0, isOn.Length).Where(page => isOn[page])];
    }
}
