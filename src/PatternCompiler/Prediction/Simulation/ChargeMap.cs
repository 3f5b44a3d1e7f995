using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// Charge per area on a grid of square pixels. Only tiles that receive charge exist, so that memory follows the exposed
/// area and not the field. Charge is split over the nine nearest pixel centres (<see cref="ChargeDeposit"/>): its sum and
/// centroid are kept, and its variance grows by a quarter of a squared pixel wherever it falls. Where the charge is that of played records and
/// takes much memory, tiles give it up and the records are kept instead, to be played again part by part (<see cref="MapPart"/>).
/// </summary>
internal sealed class ChargeMap
{
    /// <summary>Pixels along the side of a tile.</summary>
    public const int TileSide = 256;

    // Every tile is looked at. Single points far apart take a tile each: what little input may ask for is bounded, and grows with what
    // is written.
    private const long MostPixels = 3L << 28;
    private const long FirstPixels = 512L << 18;
    private const int PixelsPerDeposit = 16;

    // Of all tiles. Records take a twentieth of what their charge does.
    private const long MostKeptBytes = 64L << 20;
    private const int BytesOfDeposit = 3 * sizeof(double);

    // Beams reach less far than this; what scatters farther may be placed roughly.
    private const int MarginPixels = 128;
    private const int OutsidePixels = 8;
    private const double FogPixelsPerDeviation = 6;

    private readonly Dictionary<(int Column, int Row), ChargeTile> tiles = [];
    private readonly double perPixel;
    private (int Column, int Row) lastPlace;
    private ChargeTile? lastTile;
    private readonly SampleWindow fine;
    private readonly long mostKeptBytes;
    private double deposited;
    private long deposits;

    /// <summary>An empty map.</summary>
    /// <param name="pixelNanometres">Side of a pixel.</param>
    /// <param name="window">The only part of interest, or null for all. Charge outside is kept on coarse pixels, for what it scatters into the window.</param>
    /// <param name="mostKeptBytes">Charge of records takes no more than this, but for what a part of the map needs while it is looked at.</param>
    public ChargeMap(double pixelNanometres, SampleWindow? window = null, long mostKeptBytes = MostKeptBytes)
    {
        PixelNanometres = pixelNanometres;
        this.mostKeptBytes = mostKeptBytes;
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

    /// <summary>Pixels of all tiles.</summary>
    internal long Pixels => (long)tiles.Count * TileSide * TileSide + (Fog?.Pixels ?? 0);

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

    /// <summary>Records whose charge this is; null where charge was deposited otherwise.</summary>
    internal ReplayJournal? Journal { get; private set; }

    /// <summary>Tiles hold their charge; otherwise the journal does.</summary>
    internal bool IsKept { get; private set; } = true;

    /// <summary>Tiles on which charge fell, row by row from the bottom left.</summary>
    public IEnumerable<(int Column, int Row)> TilePlaces => tiles.Keys.OrderBy(place => place.Row).ThenBy(place => place.Column);

    /// <summary>The tile at a place, or null where no charge fell; its dose is in coulombs per square metre, if it <see cref="IsKept"/>.</summary>
    public ChargeTile? Tile((int Column, int Row) place) => tiles.GetValueOrDefault(place);

    /// <summary>Adds charge of a beam out of focus at a place; without a fog it counts as in focus.</summary>
    public void DepositFog(double xNanometres, double yNanometres, double coulombs) => (Fog ?? this).Deposit(xNanometres, yNanometres, coulombs);

    /// <summary>Adds charge at a place.</summary>
    public void Deposit(double xNanometres, double yNanometres, double coulombs)
    {
        deposited += coulombs;
        deposits++;
        if (!IsFine(xNanometres, yNanometres))
        {
            Outside!.Deposit(xNanometres, yNanometres, coulombs);
            return;
        }

        ChargeDeposit deposit = DepositOf(xNanometres, yNanometres, coulombs);
        int column = deposit.Column;
        int row = deposit.Row;
        for (int tileRow = (row - 1) >> 8; tileRow <= (row + 1) >> 8; tileRow++)
        {
            for (int tileColumn = (column - 1) >> 8; tileColumn <= (column + 1) >> 8; tileColumn++)
            {
                if (deposit.Touches(tileColumn << 8, tileRow << 8, TileSide, TileSide))
                {
                    Add(TileFor((tileColumn, tileRow)), deposit);
                }
            }
        }
    }

    /// <summary>All charge that follows is that of records, which play into this map and are kept in its journal.</summary>
    internal void BeginReplay()
    {
        if (deposits == 0)
        {
            Journal ??= new ReplayJournal();
        }

        Journal?.EndPage();
    }

    /// <summary>True if charge at a place goes to the map's own pixels.</summary>
    internal bool IsFine(double xNanometres, double yNanometres) => Outside is null || fine.Contains(xNanometres, yNanometres);

    /// <summary>Charge in pixels.</summary>
    internal ChargeDeposit DepositOf(double xNanometres, double yNanometres, double coulombs) =>
        new(xNanometres / PixelNanometres - 0.5, yNanometres / PixelNanometres - 0.5, coulombs * perPixel);

    private void Add(ChargeTile tile, in ChargeDeposit deposit)
    {
        if (Journal is not null)
        {
            tile.Mark(Journal.Page);
            if (!IsKept)
            {
                return;
            }

            if (Math.Min(deposits * BytesOfDeposit, (long)tiles.Count * TileSide * TileSide * sizeof(float)) > mostKeptBytes)
            {
                IsKept = false;
                foreach (ChargeTile full in tiles.Values)
                {
                    full.Forget();
                }

                // What is left is small, and what was given up would stay in memory for long.
                GC.Collect();
                return;
            }
        }

        tile.Add(deposit);
    }

    private ChargeTile TileFor((int Column, int Row) place)
    {
        if (lastTile is not null && place == lastPlace)
        {
            return lastTile;
        }

        if (!tiles.TryGetValue(place, out ChargeTile? tile))
        {
            long most = Math.Min(MostPixels, FirstPixels + deposits * PixelsPerDeposit);
            if ((tiles.Count + 1L) * TileSide * TileSide > most)
            {
                throw new CompileException(
                    PredictionCodes.MapTooLarge,
                    $"the simulation's map of {NumberText.Format(PixelNanometres)} nm pixels has more than {most / 1_000_000} million of them after {CountText.Of(deposits, "point", "points")}",
                    fix: "use larger pixels or a smaller window, or simulate parts that lie far apart one by one");
            }

            tile = new ChargeTile(place.Column << 8, place.Row << 8);
            tiles.Add(place, tile);
        }

        (lastPlace, lastTile) = (place, tile);
        return tile;
    }
}
