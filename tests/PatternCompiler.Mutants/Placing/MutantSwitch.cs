namespace PatternCompiler.Mutants.Placing;

/// <summary>Which mutant is on, and what was reached. Compiled into the switched build.</summary>
internal static class MutantSwitch
{
    /// <summary>The number of the mutant that is on; 0: none; negative: none, and every place is noted.</summary>
    internal static int Active;

    private static readonly bool[] Reached = new bool[1 << 18];

    internal static bool On(int mutant) => (Active == mutant || Active < 0) && Note(mutant);

    /// <summary>The numbers noted since the last call: the one that was on, or all.</summary>
    internal static int[] TakeReached()
    {
        int[] numbers = [.. Enumerable.Range(0, Reached.Length).Where(i => Reached[i])];
        Array.Clear(Reached);
        return numbers;
    }

    private static bool Note(int mutant)
    {
        Reached[mutant] = true;
        return Active == mutant;
    }
}
