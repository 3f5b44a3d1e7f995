using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// Charge per area on a grid of square pixels. Only tiles that receive charge exist, so that memory follows the exposed
/// area and not the field. Charge is split over the nine nearest pixel centres by a quadratic spline (the
/// "triangular-shaped cloud" of R. W. Hockney and J. W. Eastwood, Computer Simulation Using Particles, 1981): its sum and
/// centroid are kept, and its variance grows by a quarter of a squared pixel wherever it falls.
/// </summary>
internal sealed class ChargeMap
{
    /// <summary>Pixels along the side of a tile.</summary>
    public const int TileSide = 256;

    /// <summary>Largest memory of all tiles together, whatever is written.</summary>
    public const long LargestBytes = 3L << 30;

    // Single points far apart take a tile each: what little input may ask for is bounded, and grows with what is written.
    private const long FirstBytes = 512L << 20;
    private const int BytesPerDeposit = 64;

    // Beams reach less far than this; what scatters farther may be placed roughly.
    private const int MarginPixels = 128;
    private const int OutsidePixels = 8;
    private const double FogPixelsPerDeviation = 6;

    private const long TileBytes = (long)TileSide * TileSide * sizeof(float);
    private readonly Dictionary<(int Column, int Row), float[]> tiles = [];
    private readonly double perPixel;
    private (int Column, int Row) lastPlace = (int.MinValue, int.MinValue);
    private float[] lastTile = [];
    private readonly SampleWindow fine;
    private double deposited;
    private long deposits;

    /// <summary>An empty map.</summary>
    /// <param name="pixelNanometres">Side of a pixel.</param>
    /// <param name="window">The only part of interest, or null for all. Charge outside is kept on coarse pixels, for what it scatters into the window.</param>
    public ChargeMap(double pixelNanometres, SampleWindow? window = null)
    {
        PixelNanometres = pixelNanometres;
        Window = window;
        if (window is { } part)
        {
            fine = part.Widened(MarginPixels * pixelNanometres);
            Outside = new ChargeMap(OutsidePixels * pixelNanometres);
        }

        perPixel = 1 / (pixelNanometres * pixelNanometres * 1e-18);
    }

    /// <summary>Variance that the split over pixels adds, as a part of a squared pixel.</summary>
    internal const double SplitVariance = 0.25;

    /// <summary>Side of a pixel. The centre of pixel (0, 0) lies half a pixel right of and above the origin.</summary>
    public double PixelNanometres { get; }

    /// <summary>Memory of all tiles.</summary>
    internal long Bytes => tiles.Count * TileBytes + (Fog?.Bytes ?? 0);

    internal double TileNanometres => TileSide * PixelNanometres;

    /// <summary>All charge deposited, in coulombs, with that of the fog.</summary>
    public double TotalCoulombs => deposited + (Fog?.deposited ?? 0);

    /// <summary>Charge of a beam out of focus, on pixels as coarse as it is wide; null where all charge has the beam's spot.</summary>
    internal ChargeMap? Fog { get; private init; }

    /// <summary>Spot of that beam, full width at half maximum.</summary>
    internal double FogSpotNanometres { get; private init; }

    /// <summary>An empty map for what a machine's beam leaves, with a fog where its blanker leaks one.</summary>
    /// <param name="blanker">The machine's.</param>
    /// <param name="pixelNanometres">Side of a pixel.</param>
    /// <param name="window">The only part of interest, or null for all.</param>
    /// <param name="spotNanometres">Spot that the spread of the energy holds already, 0 for none.</param>
    public static ChargeMap For(Blanker blanker, double pixelNanometres, SampleWindow? window = null, double spotNanometres = 0)
    {
        double spot = blanker.LeaksFog ? Math.Sqrt(blanker.LeakSpotNanometres * blanker.LeakSpotNanometres - spotNanometres * spotNanometres) : 0;
        return spot > 0 ? WithFog(pixelNanometres, window, spot) : new ChargeMap(pixelNanometres, window);
    }

    /// <summary>An empty map of the same pixels, window and fog.</summary>
    public ChargeMap Empty() => Fog is null ? new ChargeMap(PixelNanometres, Window) : WithFog(PixelNanometres, Window, FogSpotNanometres);

    private static ChargeMap WithFog(double pixelNanometres, SampleWindow? window, double spotNanometres)
    {
        double pixel = Math.Max(pixelNanometres, spotNanometres / SpreadFunction.HalfMaximumWidthPerDeviation / FogPixelsPerDeviation);
        return new ChargeMap(pixelNanometres, window) { Fog = new ChargeMap(pixel, window), FogSpotNanometres = spotNanometres };
    }

    /// <summary>The only part of interest, or null for all.</summary>
    public SampleWindow? Window { get; }

    /// <summary>Charge outside the window, on coarse pixels; null without a window.</summary>
    internal ChargeMap? Outside { get; }

    /// <summary>Tiles that hold charge, row by row from the bottom left.</summary>
    public IEnumerable<(int Column, int Row)> TilePlaces => tiles.Keys.OrderBy(place => place.Row).ThenBy(place => place.Column);

    /// <summary>A tile's dose in coulombs per square metre, row by row from the bottom; empty where no charge fell.</summary>
    public ReadOnlySpan<float> Tile((int Column, int Row) place) => tiles.TryGetValue(place, out float[]? tile) ? tile : default;

    /// <summary>Adds charge of a beam out of focus at a place; without a fog it counts as in focus.</summary>
    public void DepositFog(double xNanometres, double yNanometres, double coulombs) => (Fog ?? this).Deposit(xNanometres, yNanometres, coulombs);

    /// <summary>Adds charge at a place.</summary>
    public void Deposit(double xNanometres, double yNanometres, double coulombs)
    {
        deposited += coulombs;
        deposits++;
        if (Outside is not null && !fine.Contains(xNanometres, yNanometres))
        {
            Outside.Deposit(xNanometres, yNanometres, coulombs);
            return;
        }

        double u = xNanometres / PixelNanometres - 0.5;
        double v = yNanometres / PixelNanometres - 0.5;
        int column = (int)Math.Round(u);
        int row = (int)Math.Round(v);
        double right = u - column;
        double up = v - row;
        double dose = coulombs * perPixel;
        double x0 = dose * 0.5 * (0.5 - right) * (0.5 - right);
        double x1 = dose * (0.75 - right * right);
        double x2 = dose * 0.5 * (0.5 + right) * (0.5 + right);
        double y0 = 0.5 * (0.5 - up) * (0.5 - up);
        double y1 = 0.75 - up * up;
        double y2 = 0.5 * (0.5 + up) * (0.5 + up);
        int inColumn = column & (TileSide - 1);
        int inRow = row & (TileSide - 1);
        if (inColumn is > 0 and < TileSide - 1 && inRow is > 0 and < TileSide - 1)
        {
            Span<float> tile = TileFor((column >> 8, row >> 8)).AsSpan((inRow - 1) * TileSide + inColumn - 1, 2 * TileSide + 3);
            Add(tile, x0 * y0, x1 * y0, x2 * y0);
            Add(tile[TileSide..], x0 * y1, x1 * y1, x2 * y1);
            Add(tile[(2 * TileSide)..], x0 * y2, x1 * y2, x2 * y2);
            return;
        }

        AddRow(column, row - 1, x0 * y0, x1 * y0, x2 * y0);
        AddRow(column, row, x0 * y1, x1 * y1, x2 * y1);
        AddRow(column, row + 1, x0 * y2, x1 * y2, x2 * y2);
    }

    private static void Add(Span<float> line, double left, double middle, double right)
    {
        line[2] += (float)right;
        line[0] += (float)left;
        line[1] += (float)middle;
    }

    private void AddRow(int column, int row, double left, double middle, double right)
    {
        AddTo(column - 1, row, left);
        AddTo(column, row, middle);
        AddTo(column + 1, row, right);
    }

    private void AddTo(int column, int row, double dose)
    {
        if (dose != 0)
        {
            TileFor((column >> 8, row >> 8))[(row & (TileSide - 1)) * TileSide + (column & (TileSide - 1))] += (float)dose;
        }
    }

    private float[] TileFor((int Column, int Row) place)
    {
        if (place == lastPlace)
        {
            return lastTile;
        }

        if (!tiles.TryGetValue(place, out float[]? tile))
        {
            long most = Math.Min(LargestBytes, FirstBytes + deposits * BytesPerDeposit);
            if ((tiles.Count + 1) * TileBytes > most)
            {
                throw new CompileException(
                    PredictionCodes.MapTooLarge,
                    $"the simulation's map of {NumberText.Format(PixelNanometres)} nm pixels exceeds {most >> 20} MB after {CountText.Of(deposits, "point", "points")}",
                    fix: "use larger pixels or a smaller window, or simulate parts that lie far apart one by one");
            }

            tile = new float[TileSide * TileSide];
            tiles.Add(place, tile);
        }

        (lastPlace, lastTile) = (place, tile);
        return tile;
    }
}
