namespace PatternCompiler.Reports.Player;

/// <summary>
/// Where columns are cut: into blocks that hold all columns of some figures or records, so that a page can draw the first before it has
/// read the last.
/// </summary>
internal sealed class PlayerBlocks
{
    private readonly List<int[]> ends = [];

    /// <summary>Length of each column in each block.</summary>
    public IEnumerable<int[]> Lengths => ends.Select((end, block) => end.Select((at, column) => at - StartOf(block, column)).ToArray());

    /// <summary>A block ends where the columns end now.</summary>
    public void Add(IReadOnlyList<ByteColumn> columns) => ends.Add(EndsOf(columns));

    /// <summary>These blocks, and one more that ends where the columns end now.</summary>
    public PlayerBlocks With(IReadOnlyList<ByteColumn> columns)
    {
        var blocks = new PlayerBlocks();
        blocks.ends.AddRange(ends);
        blocks.Add(columns);
        return blocks;
    }

    /// <summary>The bytes: block by block, in each column by column.</summary>
    public IEnumerable<ReadOnlyMemory<byte>> PartsOf(IReadOnlyList<ByteColumn> columns) =>
        ends.SelectMany((end, block) => end.Select((at, column) => columns[column].Memory[StartOf(block, column)..at]));

    private static int[] EndsOf(IReadOnlyList<ByteColumn> columns) => [.. columns.Select(column => column.Length)];

    private int StartOf(int block, int column) => block == 0 ? 0 : ends[block - 1][column];
}
