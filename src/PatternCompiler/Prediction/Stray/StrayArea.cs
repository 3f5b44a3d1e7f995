using PatternCompiler.Instrument;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Prediction.Stray;

/// <summary>
/// What the pattern and what the jumps leave in the resist, place by place: two charge maps, each spread with its near and
/// far terms. Pixels are half a standard deviation of the beam wide, and in very large fields up to 0.9 of it: the dose of a
/// fine track that runs between pixels comes out at most 0.5%, and at the coarsest 5%, below the exact sum.
/// </summary>
internal sealed class StrayArea
{
    private const double FinestInDeviations = 0.5;
    private const double CoarsestInDeviations = 0.9;
    private const long MostPixels = 96L << 20;

    // More of a field is rarely written or crossed.
    private const double UsedPart = 0.125;
    private const int MostTiles = 512;
    private const int Margin = 2;

    // A place's surroundings, as far as the beam is wide, lie on its own tile.
    private const int WideMargin = 8;

    // Between pixels the dose can be a little higher than on them.
    private const double TileSlack = 0.95;
    private const double SmallestShare = 1e-3;
    private readonly SpreadFunction spread;
    private readonly double onset;
    private readonly ChargeMap pattern;
    private readonly ChargeMap jumps;
    private readonly Dictionary<(int, int), Tiles> judged = [];
    private readonly EnergyScratch patternScratch = new();
    private readonly EnergyScratch backgroundScratch = new();
    private readonly EnergyScratch jumpScratch = new();
    private EnergyField? patternField;
    private EnergyField? backgroundField;
    private EnergyField? jumpField;
    private ((int, int) Place, Tiles Tiles)? last;

    /// <summary>Empty area.</summary>
    /// <param name="spread">Spread with the beam's spot.</param>
    /// <param name="onset">Dose at which the resist starts to react, in coulombs per square metre.</param>
    /// <param name="fieldSquareNanometres">Area of the field.</param>
    /// <param name="machine">Whose blanker may leak a fog.</param>
    public StrayArea(SpreadFunction spread, double onset, double fieldSquareNanometres, Machine machine)
    {
        this.spread = spread;
        this.onset = onset;
        double deviation = spread.Terms[0].RangeNanometres / Math.Sqrt(2);
        double pixel = Math.Clamp(
            Math.Sqrt(UsedPart * fieldSquareNanometres / MostPixels), FinestInDeviations * deviation, CoarsestInDeviations * deviation);
        pattern = ChargeMap.For(machine.Blanker, pixel, spotNanometres: machine.Beam.SpotNanometres);
        jumps = new ChargeMap(pixel);
    }

    /// <summary>Side of a pixel.</summary>
    public double PixelNanometres => pattern.PixelNanometres;

    /// <summary>The maps have become larger than they may.</summary>
    public bool IsTooLarge => pattern.Pixels > MostPixels || jumps.Pixels > MostPixels;

    /// <summary>Charge that belongs to the pattern.</summary>
    public void Expose(double x, double y, double coulombs) => pattern.Deposit(x, y, coulombs);

    /// <summary>Charge that leaks out of focus.</summary>
    public void Haze(double x, double y, double coulombs) => pattern.DepositFog(x, y, coulombs);

    /// <summary>Largest energy of what leaks out of focus.</summary>
    public double LargestFog => (patternField ??= new EnergyField(pattern, spread, 0)).LargestFog;

    /// <summary>Charge that a jump leaves.</summary>
    public void Stray(double x, double y, double coulombs) => jumps.Deposit(x, y, coulombs);

    /// <summary>Energies at a place, as the dose of a large area that would give the same; false where nothing can print.</summary>
    /// <param name="x">In nanometres.</param>
    /// <param name="y">In nanometres.</param>
    /// <param name="dose">Takes them; where nothing can print the largest of all jumps on unexposed places nearby.</param>
    public bool TryLook(double x, double y, out DoseAt dose)
    {
        double size = ChargeMap.TileSide * PixelNanometres;
        (int, int) place = ((int)Math.Floor(x / size), (int)Math.Floor(y / size));
        if (last is not { } known || known.Place != place)
        {
            known = (place, TilesAt(place));
            last = known;
        }

        if (known.Tiles is not { Pattern: { } pattern, Background: { } background, Jumps: { } jumps })
        {
            dose = new DoseAt(0, 0, known.Tiles.LargestOnBareArea);
            return false;
        }

        dose = new DoseAt(pattern.At(x, y, PixelNanometres), background.At(x, y, PixelNanometres), jumps.At(x, y, PixelNanometres));
        return true;
    }

    /// <summary>True if the pattern alone prints beside a place that was looked at last, no further off than the beam is wide.</summary>
    public bool PrintsBeside(double x, double y) =>
        last is { Tiles.Pattern: { } pattern } && pattern.At(x, y, PixelNanometres) >= onset;

    private Tiles TilesAt((int, int) place)
    {
        if (!judged.TryGetValue(place, out Tiles? tiles))
        {
            if (judged.Count >= MostTiles)
            {
                judged.Clear();
            }

            tiles = Judge(place);
            judged.Add(place, tiles);
        }

        return tiles;
    }

    private Tiles Judge((int, int) place)
    {
        patternField ??= new EnergyField(pattern, spread, 0);
        backgroundField ??= new EnergyField(pattern, spread, 0, firstTerm: 1);
        jumpField ??= new EnergyField(jumps, spread, 0);
        EnergyTile byJumps = jumpField.Compute(place, WideMargin, jumpScratch);
        EnergyTile byPattern = patternField.Compute(place, WideMargin, patternScratch);
        int count = byJumps.Side * byJumps.Side;
        float largest = 0;
        bool canPrint = false;
        for (int row = WideMargin - Margin; row < byJumps.Side - WideMargin + Margin; row++)
        {
            for (int i = row * byJumps.Side + WideMargin - Margin; i < (row + 1) * byJumps.Side - WideMargin + Margin; i++)
            {
                if (byPattern.Values[i] < onset)
                {
                    largest = Math.Max(largest, byJumps.Values[i]);
                    canPrint |= byPattern.Values[i] + byJumps.Values[i] >= TileSlack * onset && byJumps.Values[i] > SmallestShare * onset;
                }
            }
        }

        return canPrint
            ? new Tiles(largest, Copy(byPattern, count), Copy(backgroundField.Compute(place, WideMargin, backgroundScratch), count), Copy(byJumps, count))
            : new Tiles(largest, null, null, null);
    }

    private static EnergyTile Copy(EnergyTile tile, int count) => new()
    {
        Margin = tile.Margin,
        FirstColumn = tile.FirstColumn,
        FirstRow = tile.FirstRow,
        Side = tile.Side,
        Values = tile.Values[..count],
    };

    private sealed record Tiles(double LargestOnBareArea, EnergyTile? Pattern, EnergyTile? Background, EnergyTile? Jumps);
}

/// <summary>Energies at a place, as the dose of a large area that would give the same, in coulombs per square metre.</summary>
/// <param name="Pattern">From all exposures, and what leaks out of focus.</param>
/// <param name="Background">The part of it that comes back from afar or is out of focus: without the blurred rims of what is exposed beside the place.</param>
/// <param name="Jumps">From all jumps.</param>
internal readonly record struct DoseAt(double Pattern, double Background, double Jumps);
