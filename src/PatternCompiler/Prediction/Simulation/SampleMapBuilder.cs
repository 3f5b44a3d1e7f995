using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Averages tiles, or the thickness they leave, into a map. Tiles may come from several threads: each cell belongs to one tile.</summary>
internal sealed class SampleMapBuilder
{
    private const long MostCells = 1L << 27;
    private readonly int perStep;
    private readonly double pixel;
    private readonly int firstColumn;
    private readonly int firstRow;
    private readonly int columns;
    private readonly int rows;
    private readonly float[] sums;
    private readonly ResistResponse? response;

    private SampleMapBuilder(int perStep, double pixel, int firstColumn, int firstRow, int columns, int rows, ResistResponse? response)
    {
        this.response = response;
        this.perStep = perStep;
        this.pixel = pixel;
        this.firstColumn = firstColumn;
        this.firstRow = firstRow;
        this.columns = columns;
        this.rows = rows;
        sums = new float[columns * rows];
    }

    /// <summary>A map of all tiles. The step is made a power-of-two number of pixels, the next one below what is asked for.</summary>
    /// <param name="map">The charge.</param>
    /// <param name="places">Tiles that will come; at least the outermost ones.</param>
    /// <param name="stepNanometres">Step that is asked for.</param>
    /// <param name="response">Makes a map of the remaining thickness; null for one of the energy.</param>
    public static SampleMapBuilder For(ChargeMap map, List<(int Column, int Row)> places, double stepNanometres, ResistResponse? response)
    {
        int perStep = 1;
        while (perStep < ChargeMap.TileSide && 2 * perStep * map.PixelNanometres <= stepNanometres)
        {
            perStep *= 2;
        }

        if (places.Count == 0)
        {
            return new SampleMapBuilder(perStep, map.PixelNanometres, 0, 0, 0, 0, response);
        }

        int cellsPerTile = ChargeMap.TileSide / perStep;
        int left = places.Min(p => p.Column);
        int bottom = places.Min(p => p.Row);
        long columns = (places.Max(p => p.Column) - left + 1L) * cellsPerTile;
        long rows = (places.Max(p => p.Row) - bottom + 1L) * cellsPerTile;
        if ((Int128)columns * rows > MostCells)
        {
            throw new CompileException(
                PredictionCodes.MapTooLarge,
                $"a map of {columns} by {rows} cells is too large",
                fix: "use a larger step of the map or a smaller window");
        }

        return new SampleMapBuilder(
            perStep, map.PixelNanometres, left * ChargeMap.TileSide, bottom * ChargeMap.TileSide, (int)columns, (int)rows, response);
    }

    public void Add(EnergyTile tile)
    {
        float share = 1f / (perStep * perStep);
        for (int row = 0; row < ChargeMap.TileSide; row++)
        {
            ReadOnlySpan<float> line = tile.Values.AsSpan((row + tile.Margin) * tile.Side + tile.Margin, ChargeMap.TileSide);
            int start = (tile.FirstRow + tile.Margin + row - firstRow) / perStep * columns
                + (tile.FirstColumn + tile.Margin - firstColumn) / perStep;
            for (int column = 0; column < line.Length; column++)
            {
                sums[start + column / perStep] += (response is null ? line[column] : (float)response.RemainingFraction(line[column])) * share;
            }
        }
    }

    public SampleMap ToMap() =>
        new(firstColumn * pixel, firstRow * pixel, perStep * pixel, columns, rows, sums);
}
