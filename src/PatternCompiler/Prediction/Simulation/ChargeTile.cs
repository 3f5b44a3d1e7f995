namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// A tile of a map of charge. What little falls on it is kept as it fell; once that takes more memory than its pixels do, they take
/// its place. Both give the same sums, for charge is added in the order in which it fell.
/// </summary>
/// <param name="firstColumn">Column of its first pixel.</param>
/// <param name="firstRow">Row of its first pixel.</param>
internal sealed class ChargeTile(int firstColumn, int firstRow)
{
    private const int Side = ChargeMap.TileSide;
    private const int DepositsOfBlock = 64;
    private const int MostDeposits = Side * Side * sizeof(float) / (3 * sizeof(double)) / DepositsOfBlock * DepositsOfBlock;

    private readonly List<ChargeDeposit[]> blocks = [];
    private int count;
    private float[] pixels = [];

    /// <summary>Pages of the journal of records whose charge falls on it, ascending; empty without a journal.</summary>
    public List<int> Pages { get; } = [];

    /// <summary>Charge that is added later is on such a page.</summary>
    public void Mark(int page)
    {
        if (Pages.Count == 0 || Pages[^1] != page)
        {
            Pages.Add(page);
        }
    }

    /// <summary>Gives up the charge; the pages remain.</summary>
    public void Forget()
    {
        blocks.Clear();
        (count, pixels) = (0, []);
    }

    /// <summary>Adds charge, of which the part on the tile counts.</summary>
    public void Add(in ChargeDeposit deposit)
    {
        if (pixels.Length > 0)
        {
            deposit.AddTo(pixels, Side, firstColumn, firstRow, Side, Side);
            return;
        }

        int place = count++ % DepositsOfBlock;
        if (place == 0)
        {
            blocks.Add(new ChargeDeposit[DepositsOfBlock]);
        }

        blocks[^1][place] = deposit;
        if (count == MostDeposits)
        {
            pixels = Pixels();
            blocks.Clear();
        }
    }

    /// <summary>The dose of all its pixels, row by row from the bottom.</summary>
    public float[] Pixels()
    {
        var all = new float[Side * Side];
        Copy(firstColumn, firstRow, Side, Side, all, Side);
        return all;
    }

    /// <summary>Copies the dose of some of its pixels.</summary>
    /// <param name="column">The first column.</param>
    /// <param name="row">The first row.</param>
    /// <param name="columns">How many columns.</param>
    /// <param name="rows">How many rows.</param>
    /// <param name="target">Where the first pixel goes.</param>
    /// <param name="stride">From a row of the target to the next.</param>
    public void Copy(int column, int row, int columns, int rows, Span<float> target, int stride)
    {
        for (int r = 0; r < rows; r++)
        {
            Span<float> line = target.Slice(r * stride, columns);
            if (pixels.Length == 0)
            {
                line.Clear();
            }
            else
            {
                pixels.AsSpan((row + r - firstRow) * Side + column - firstColumn, columns).CopyTo(line);
            }
        }

        if (pixels.Length == 0)
        {
            for (int i = 0; i < count; i++)
            {
                blocks[i / DepositsOfBlock][i % DepositsOfBlock].AddTo(target, stride, column, row, columns, rows);
            }
        }
    }
}
