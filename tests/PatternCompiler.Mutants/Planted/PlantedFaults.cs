namespace PatternCompiler.Mutants.Planted;

/// <summary>Code whose verdicts are known beforehand: it proves that each verdict can be reported.</summary>
public static class PlantedFaults
{
    private static readonly int[] Initial = [Width - Height];
    private static int? s_known;

    /// <summary>What runs once a process is caught all the same.</summary>
    public static int Initially => Initial[0];

    private static int Width => 5;

    private static int Height => 2;

    /// <summary>Remembers what it finds: its fault is caught although others ran it before, and those that come later are not held to have it.</summary>
    public static int Remembered(int width, int height) => s_known ??= width - height;

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
