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

    /// <summary>Has a place for every kind of fault, and its test notices each.</summary>
    public static int EveryKind(int x, int y)
    {
        var larger = new List<int>();
        larger.Add(Math.Max(x, y - 1));
        int sum = x * y;
        if (x < y && y != 3)
        {
            sum += 7;
        }

        return sum + larger[0];
    }

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
