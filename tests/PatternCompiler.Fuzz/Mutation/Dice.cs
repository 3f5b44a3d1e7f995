namespace PatternCompiler.Fuzz.Mutation;

/// <summary>Random numbers that follow from seed, target and run, the same on every machine (SplitMix64).</summary>
internal struct Dice
{
    private ulong state;

    /// <summary>The numbers of one run.</summary>
    public static Dice For(int seed, string target, long run)
    {
        var dice = new Dice { state = (ulong)seed };
        foreach (char character in target)
        {
            dice.state = dice.Next() ^ character;
        }

        dice.state = dice.Next() ^ (ulong)run;
        return dice;
    }

    /// <summary>64 random bits.</summary>
    public ulong Next()
    {
        state += 0x9E3779B97F4A7C15;
        ulong mixed = state;
        mixed = (mixed ^ (mixed >> 30)) * 0xBF58476D1CE4E5B9;
        mixed = (mixed ^ (mixed >> 27)) * 0x94D049BB133111EB;
        return mixed ^ (mixed >> 31);
    }

    /// <summary>A number from 0 to below a limit; 0 if the limit is not above it.</summary>
    public int Below(int limit) => limit <= 0 ? 0 : (int)(Next() % (ulong)limit);

    /// <summary>True once in so many times.</summary>
    public bool Chance(int times) => Below(times) == 0;

    /// <summary>One of several.</summary>
    public T OneOf<T>(IReadOnlyList<T> choices) => choices[Below(choices.Count)];
}
