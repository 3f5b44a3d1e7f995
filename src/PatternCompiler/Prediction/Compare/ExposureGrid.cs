using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Compare;

/// <summary>Adds up the exposures of two documents in squares of the sample. Each exposure counts linearly in the four nearest squares, so that a shift by a small part of a square makes a small difference.</summary>
internal sealed class ExposureGrid(double cellNanometres)
{
    private readonly Dictionary<(int X, int Y), (double First, double Second)> cells = [];

    /// <summary>Adds one exposed point.</summary>
    public void Add(bool isSecond, double xNanometres, double yNanometres, double exposure)
    {
        double x = xNanometres / cellNanometres;
        double y = yNanometres / cellNanometres;
        int column = (int)Math.Floor(x);
        int row = (int)Math.Floor(y);
        double right = x - column;
        double top = y - row;
        AddTo(column, row, isSecond, exposure * (1 - right) * (1 - top));
        AddTo(column + 1, row, isSecond, exposure * right * (1 - top));
        AddTo(column, row + 1, isSecond, exposure * (1 - right) * top);
        AddTo(column + 1, row + 1, isSecond, exposure * right * top);
    }

    /// <summary>What was added, compared.</summary>
    /// <param name="unit">Unit of the exposures.</param>
    /// <param name="tolerance">Part of the mean cell by which a cell may differ.</param>
    /// <param name="limit">Most cells to list.</param>
    public ExposureComparison Compare(string unit, double tolerance, int limit)
    {
        double first = cells.Values.Sum(cell => cell.First);
        double second = cells.Values.Sum(cell => cell.Second);
        double moved = cells.Values.Sum(cell => Math.Abs(cell.First - cell.Second)) / 2;
        double mean = cells.Count == 0 ? 0 : Math.Max(first, second) / cells.Count;
        KeyValuePair<(int X, int Y), (double First, double Second)>[] differing =
        [
            .. cells.Where(cell => Math.Abs(cell.Value.First - cell.Value.Second) > tolerance * mean)
                .OrderByDescending(cell => Math.Abs(cell.Value.First - cell.Value.Second))
                .ThenBy(cell => cell.Key),
        ];
        return new ExposureComparison(
            unit,
            cellNanometres,
            first,
            second,
            first == 0 && second == 0 ? 0 : moved / Math.Max(first, second),
            [.. differing.Take(limit).Select(cell => new ExposureCell(cell.Key.X * cellNanometres, cell.Key.Y * cellNanometres, cell.Value.First, cell.Value.Second))],
            differing.Length,
            differing.Length == 0 ? 0 : Math.Abs(differing[0].Value.First - differing[0].Value.Second) / mean);
    }

    private void AddTo(int column, int row, bool isSecond, double exposure)
    {
        if (exposure == 0)
        {
            return;
        }

        ref (double First, double Second) cell =
            ref System.Runtime.InteropServices.CollectionsMarshal.GetValueRefOrAddDefault(cells, (column, row), out _);
        if (isSecond)
        {
            cell.Second += exposure;
        }
        else
        {
            cell.First += exposure;
        }
    }
}

/// <summary>A square on the sample whose exposure differs between two documents.</summary>
/// <param name="XNanometres">Centre, from the field's centre.</param>
/// <param name="YNanometres">Centre, from the field's centre.</param>
/// <param name="First">Exposure by the first document, in the comparison's unit.</param>
/// <param name="Second">Exposure by the second document.</param>
internal readonly record struct ExposureCell(double XNanometres, double YNanometres, double First, double Second);
