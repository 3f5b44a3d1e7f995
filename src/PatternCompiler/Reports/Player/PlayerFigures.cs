using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Reports.Player;

/// <summary>Figures as columns for a page that plays records: kind, layer, dose factor, corners, place in the drawing.</summary>
internal sealed class PlayerFigures
{
    private const int MostCorners = 4;
    private const int FiguresInBlock = 2048;
    private readonly List<string> places = [];

    /// <summary>Takes the figures.</summary>
    /// <param name="document">The figures where they lie on the pattern.</param>
    /// <param name="most">Number of figures that are kept.</param>
    /// <param name="placeOf">Where a figure was drawn; empty where that is not known.</param>
    public PlayerFigures(FiguresDocument document, int most, Func<int, string> placeOf)
    {
        Header = document.Header;
        Total = document.Figures.Count;
        Kept = Math.Min(most, Total);
        var numbers = new Dictionary<string, int>(StringComparer.Ordinal);
        Span<(double X, double Y)> corners = stackalloc (double, double)[MostCorners];
        (long x, long y, int place) = (0, 0, 0);
        for (int i = 0; i < Kept; i++)
        {
            Figure figure = document.Figures[i];
            int count = FigureCorners.Write(figure, corners);
            Shape.AddByte((byte)count);
            Shape.AddCount((ulong)figure.Layer);
            Shape.AddCount((ulong)figure.DoseFactor.Millionths);
            for (int corner = 0; corner < count; corner++)
            {
                (long atX, long atY) = ((long)Math.Round(corners[corner].X), (long)Math.Round(corners[corner].Y));
                Corners.AddDifference(atX - x);
                Corners.AddDifference(atY - y);
                (x, y) = (atX, atY);
                Extent.Widen(x * Header.GridPicometres / 1000.0, y * Header.GridPicometres / 1000.0);
            }

            int here = NumberOf(placeOf(i));
            Places.AddDifference(here - place);
            place = here;
            if ((i + 1) % FiguresInBlock == 0 || i + 1 == Kept)
            {
                Blocks.Add(Columns);
            }
        }

        int NumberOf(string text)
        {
            if (text.Length == 0)
            {
                return 0;
            }

            if (!numbers.TryGetValue(text, out int number))
            {
                places.Add(text);
                numbers.Add(text, number = places.Count);
            }

            return number;
        }
    }

    /// <summary>Grid and layers.</summary>
    public FiguresHeader Header { get; }

    /// <summary>Figures altogether.</summary>
    public int Total { get; }

    /// <summary>Figures that were kept.</summary>
    public int Kept { get; }

    /// <summary>Number of corners (1 a dot, 2 a line, 4 an area), index of the layer, dose factor in millionths.</summary>
    public ByteColumn Shape { get; } = new();

    /// <summary>X and Y of each corner in grid steps, less those of the corner before.</summary>
    public ByteColumn Corners { get; } = new();

    /// <summary>Number of the place among <see cref="PlaceTexts"/>, from 1, less that of the figure before; 0 is unknown.</summary>
    public ByteColumn Places { get; } = new();

    /// <summary>Ends of the columns behind each block of figures.</summary>
    public PlayerBlocks Blocks { get; } = new();

    /// <summary>The columns: shape, corners, places.</summary>
    public IReadOnlyList<ByteColumn> Columns => [Shape, Corners, Places];

    /// <summary>Where the kept figures lie, in nanometres on the pattern.</summary>
    public PlayerExtent Extent { get; } = new();

    /// <summary>Places in the drawing.</summary>
    public IReadOnlyList<string> PlaceTexts => places;

    /// <summary>Base dose of areas in C/m², of lines in C/m and of dots in C, of each layer, its factor in them; empty if they are not known.</summary>
    public ImmutableArray<(double Area, double Line, double Dot)> BaseDoses { get; init; } = [];
}

/// <summary>What the resist is predicted to show, as outlines for the page.</summary>
internal sealed class PlayerPrint
{
    /// <summary>Takes the outlines.</summary>
    /// <param name="gridPicometres">Their grid.</param>
    /// <param name="outlines">The outlines.</param>
    /// <param name="window">The part that was simulated, in nanometres.</param>
    /// <param name="most">Number of corners that are kept; outlines beyond are left out.</param>
    public PlayerPrint(long gridPicometres, ContourSet outlines, Prediction.SampleWindow window, int most)
    {
        GridPicometres = gridPicometres;
        Window = window;
        Total = outlines.Count;
        (long x, long y) = (0, 0);
        int corners = 0;
        for (; Kept < outlines.Count && corners + outlines[Kept].Length <= most; Kept++)
        {
            ReadOnlySpan<GridPoint> ring = outlines[Kept];
            corners += ring.Length;
            Rings.AddCount((ulong)ring.Length);
            foreach (GridPoint point in ring)
            {
                Corners.AddDifference(point.X - x);
                Corners.AddDifference(point.Y - y);
                (x, y) = (point.X, point.Y);
            }
        }
    }

    /// <summary>Grid of the corners.</summary>
    public long GridPicometres { get; }

    /// <summary>The part that was simulated.</summary>
    public Prediction.SampleWindow Window { get; }

    /// <summary>Outlines altogether.</summary>
    public int Total { get; }

    /// <summary>Outlines that were kept.</summary>
    public int Kept { get; }

    /// <summary>Corners of each outline.</summary>
    public ByteColumn Rings { get; } = new();

    /// <summary>X and Y of each corner in grid steps, less those of the corner before.</summary>
    public ByteColumn Corners { get; } = new();
}
