namespace PatternCompiler.VirtualLab.Writer;

/// <summary>Charge at a place on the sample, in nanometres and femtocoulombs.</summary>
public readonly record struct Deposit(float X, float Y, float Femtocoulombs);

/// <summary>All charge that reached a sample, in the order in which it came.</summary>
public sealed class Deposits
{
    private const int ChunkLength = 1 << 18;
    private readonly List<Deposit[]> chunks = [];
    private int used = ChunkLength;

    public long Count => chunks.Count == 0 ? 0 : ((long)(chunks.Count - 1) * ChunkLength) + used;

    /// <summary>All of it, in femtocoulombs.</summary>
    public double TotalFemtocoulombs { get; private set; }

    public void Add(double x, double y, double femtocoulombs)
    {
        if (!(femtocoulombs > 0))
        {
            return;
        }

        if (used == ChunkLength)
        {
            chunks.Add(new Deposit[ChunkLength]);
            used = 0;
        }

        chunks[^1][used++] = new Deposit((float)x, (float)y, (float)femtocoulombs);
        TotalFemtocoulombs += femtocoulombs;
    }

    /// <summary>Stretches of deposits.</summary>
    public IEnumerable<ArraySegment<Deposit>> Stretches() =>
        chunks.Select((chunk, i) => new ArraySegment<Deposit>(chunk, 0, i == chunks.Count - 1 ? used : ChunkLength));
}
