namespace PatternCompiler.Tests.Kept;

/// <summary>Random choices that are the same for ever (SplitMix64: G. Steele, D. Lea, C. Flood, OOPSLA 2014).</summary>
internal sealed class KeptDraw(ulong seed)
{
    private ulong state = seed;

    /// <summary>From 0 to below <paramref name="count"/>.</summary>
    public int Below(int count)
    {
        state += 0x9E3779B97F4A7C15;
        ulong z = state;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return (int)((z ^ (z >> 31)) % (ulong)count);
    }

    /// <summary>Ends included.</summary>
    public int From(int lowest, int highest) => lowest + Below(highest - lowest + 1);

    public string One(params string[] choices) => choices[Below(choices.Length)];

    /// <summary>True once in <paramref name="times"/>.</summary>
    public bool Rarely(int times) => Below(times) == 0;

    /// <summary>A text once in <paramref name="times"/>, else none.</summary>
    public string Perhaps(int times, string text) => Rarely(times) ? text : "";

    /// <summary>Near the normal distribution: mean 0, deviation 1.</summary>
    public double Noise()
    {
        int sum = 0;
        for (int i = 0; i < 12; i++)
        {
            sum += Below(1001);
        }

        return (sum - 6000) / 1000.0;
    }
}
