namespace PatternCompiler.Cli.Terminal;

/// <summary>Something whose progress is shown.</summary>
/// <param name="label">What it is.</param>
/// <param name="total">Its size, in any unit.</param>
internal sealed class ProgressItem(string label, long total)
{
    private long done;

    /// <summary>What it is.</summary>
    public string Label => label;

    /// <summary>Its size.</summary>
    public long Total => total;

    /// <summary>How much of it is done.</summary>
    public long Done => Interlocked.Read(ref done);

    /// <summary>Counts some more as done.</summary>
    public void Advance(long amount) => Interlocked.Add(ref done, amount);
}
