using PatternCompiler.VirtualLab.Specimen;

namespace PatternCompiler.VirtualLab.Writer;

/// <summary>Charge at a place on the sample, in nanometres and femtocoulombs.</summary>
public readonly record struct Deposit(float X, float Y, float Femtocoulombs);

/// <summary>All charge that reached a sample, in the order in which it came.</summary>
public sealed class Deposits
{
    private const int ChunkLength = 1 << 14;
    private readonly List<Chunk> chunks = [];

    /// <summary>All of it, in femtocoulombs.</summary>
    public double TotalFemtocoulombs { get; private set; }

    public void Add(double x, double y, double femtocoulombs)
    {
        if (!(femtocoulombs > 0))
        {
            return;
        }

        if (chunks.Count == 0 || chunks[^1].Count == ChunkLength)
        {
            chunks.Add(new Chunk());
        }

        chunks[^1].Add(new Deposit((float)x, (float)y, (float)femtocoulombs));
        TotalFemtocoulombs += femtocoulombs;
    }

    /// <summary>Stretches of deposits that may lie in a part of the sample; what lies outside of it is not told apart.</summary>
    public IEnumerable<ArraySegment<Deposit>> Near(SampleWindow window) => chunks.Where(chunk => chunk.Meets(window)).Select(chunk => chunk.Deposits);

    /// <summary>All deposits.</summary>
    public IEnumerable<Deposit> All() => chunks.SelectMany(chunk => chunk.Deposits);

    private sealed class Chunk
    {
        private readonly Deposit[] deposits = new Deposit[ChunkLength];
        private float left = float.PositiveInfinity;
        private float bottom = float.PositiveInfinity;
        private float right = float.NegativeInfinity;
        private float top = float.NegativeInfinity;

        public int Count { get; private set; }

        public ArraySegment<Deposit> Deposits => new(deposits, 0, Count);

        public void Add(Deposit deposit)
        {
            deposits[Count++] = deposit;
            (left, right) = (Math.Min(left, deposit.X), Math.Max(right, deposit.X));
            (bottom, top) = (Math.Min(bottom, deposit.Y), Math.Max(top, deposit.Y));
        }

        public bool Meets(SampleWindow window) => left <= window.Right && right >= window.Left && bottom <= window.Top && top >= window.Bottom;
    }
}
