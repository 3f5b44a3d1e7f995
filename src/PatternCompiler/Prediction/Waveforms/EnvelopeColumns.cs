namespace PatternCompiler.Prediction.Waveforms;

/// <summary>
/// The course of several lines over a stretch of time whose end is not known beforehand, in at most as many columns as the widest picture has
/// pixels. When they are used up, each two become one: first, lowest, highest and last value of each column stay exact.
/// </summary>
internal sealed class EnvelopeColumns
{
    /// <summary>Most columns; at least half of them are used unless the stretch has fewer ticks.</summary>
    public const int Most = 1 << 13;

    private readonly Envelope[][] lines;

    /// <summary>No time yet.</summary>
    /// <param name="lines">Number of lines.</param>
    public EnvelopeColumns(int lines)
    {
        this.lines = [.. Enumerable.Range(0, lines).Select(_ => new Envelope[Most])];
        foreach (Envelope[] line in this.lines)
        {
            line.AsSpan().Fill(Envelope.None);
        }
    }

    /// <summary>Ticks of a column.</summary>
    public long TicksPerColumn { get; private set; } = 1;

    /// <summary>Ticks up to now.</summary>
    public long Ticks { get; private set; }

    /// <summary>Columns in use; the last one may be filled in part.</summary>
    public int Count => (int)((Ticks + TicksPerColumn - 1) / TicksPerColumn);

    /// <summary>The columns of a line.</summary>
    public ReadOnlySpan<Envelope> this[int line] => lines[line].AsSpan(0, Count);

    /// <summary>Makes room for more time and says which columns it falls into.</summary>
    /// <returns>The first column, and the one behind the last.</returns>
    public (int First, int End) Extend(long ticks)
    {
        long end = Ticks + ticks;
        while ((end + TicksPerColumn - 1) / TicksPerColumn > Most)
        {
            Halve();
        }

        int first = (int)(Ticks / TicksPerColumn);
        Ticks = end;
        return (first, Count);
    }

    /// <summary>The next piece of a line within a column.</summary>
    public void Add(int line, int column, in Envelope piece)
    {
        ref Envelope known = ref lines[line][column];
        known = known.Then(piece);
    }

    private void Halve()
    {
        foreach (Envelope[] line in lines)
        {
            for (int i = 0; i < Most / 2; i++)
            {
                line[i] = line[2 * i].Then(line[2 * i + 1]);
            }

            line.AsSpan(Most / 2).Fill(Envelope.None);
        }

        TicksPerColumn *= 2;
    }
}
