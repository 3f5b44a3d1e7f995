namespace PatternCompiler.Mutants.Planted;

/// <summary>Code whose verdicts are known beforehand: it proves that each verdict can be reported.</summary>
public static class PlantedFaults
{
    /// <summary>Called with a square only: swapping the sides is missed.</summary>
    public static int Missed(int width, int height) => width - height;

    /// <summary>Called with unlike sides: swapping them is caught.</summary>
    public static int Caught(int width, int height) => width - height;

    /// <summary>Called by no test.</summary>
    public static int NotReached(int width, int height) => width - height;

    /// <summary>Never ends when its counter is not moved.</summary>
    public static int Endless(int steps)
    {
        int done = 0;
        while (done != steps)
        {
            done += 1;
        }

        return done;
    }
}
