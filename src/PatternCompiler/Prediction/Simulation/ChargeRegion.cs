using PatternCompiler.Model.Records;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// A part of a map whose charge was not kept: its pixels, from the records whose charge falls on them, played again in their order. The
/// sums are those of a map that keeps its charge. Memory serves one part after another.
/// </summary>
/// <param name="map">The map.</param>
internal sealed class ChargeRegion(ChargeMap map)
{
    private float[] pixels = [];
    private int firstColumn;
    private int firstRow;
    private int columns;
    private int rows;

    /// <summary>Room for the points of lines that are played.</summary>
    internal LinePoint[] Points { get; } = new LinePoint[ExposureReplay.PointsAtOnce];

    /// <summary>For the beam that is played.</summary>
    internal LagDecays Decays { get; } = new();

    /// <summary>Takes the place of another part.</summary>
    /// <param name="part">The tiles, and what was played on them and about.</param>
    /// <param name="halo">Pixels around them.</param>
    public void Fill(MapPart part, int halo)
    {
        firstColumn = part.Left * ChargeMap.TileSide - halo;
        firstRow = part.Bottom * ChargeMap.TileSide - halo;
        columns = (part.Right - part.Left) * ChargeMap.TileSide + 2 * halo;
        rows = (part.Top - part.Bottom) * ChargeMap.TileSide + 2 * halo;
        if (pixels.Length < columns * rows)
        {
            pixels = new float[columns * rows];
        }
        else
        {
            pixels.AsSpan(0, columns * rows).Clear();
        }

        foreach (int page in part.Pages)
        {
            map.Journal!.Play(page, this);
        }
    }

    /// <summary>Adds charge, of which the part on the region counts.</summary>
    internal void Deposit(double xNanometres, double yNanometres, double coulombs)
    {
        if (map.IsFine(xNanometres, yNanometres))
        {
            map.DepositOf(xNanometres, yNanometres, coulombs).AddTo(pixels, columns, firstColumn, firstRow, columns, rows);
        }
    }

    /// <summary>Copies some pixels, all of them within the region.</summary>
    /// <param name="column">The first column.</param>
    /// <param name="row">The first row.</param>
    /// <param name="side">How many columns and rows.</param>
    /// <param name="target">Where they go, row by row from the bottom.</param>
    public void Copy(int column, int row, int side, Span<float> target)
    {
        for (int r = 0; r < side; r++)
        {
            pixels.AsSpan((row + r - firstRow) * columns + column - firstColumn, side).CopyTo(target[(r * side)..]);
        }
    }
}
