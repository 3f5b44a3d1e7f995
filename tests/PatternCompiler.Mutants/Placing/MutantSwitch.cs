using System.Runtime.CompilerServices;

namespace PatternCompiler.Mutants.Placing;

/// <summary>Which mutant is on. Compiled into the switched build; a negative number notes what is reached and switches nothing on.</summary>
internal static class MutantSwitch
{
    // Read once: when a method is compiled after this class is initialised, the comparison is folded and the other arm disappears.
    private static readonly int Active = int.TryParse(Environment.GetEnvironmentVariable("PATTERNC_MUTANT"), out int number) ? number : 0;
    private static readonly byte[]? Reached = Active < 0 ? new byte[-Active] : null;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal static bool On(int mutant) => Active == mutant || (Reached is not null && Note(mutant));

    /// <summary>The numbers reached since the last call.</summary>
    internal static int[] TakeReached()
    {
        var numbers = new List<int>();
        for (int i = 0; i < Reached!.Length; i++)
        {
            if (Reached[i] != 0)
            {
                numbers.Add(i);
                Reached[i] = 0;
            }
        }

        return [.. numbers];
    }

    private static bool Note(int mutant)
    {
        Reached![mutant] = 1;
        return false;
    }
}
