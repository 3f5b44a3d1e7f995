namespace PatternCompiler.Tests.Geometry;

/// <summary>
/// How many random cases a geometry test tries: PATTERNC_LONG_TESTS (a number) times the usual, for a long run by hand.
/// </summary>
internal static class Iterations
{
    private static readonly int Times = int.TryParse(Environment.GetEnvironmentVariable("PATTERNC_LONG_TESTS"), out int times) ? times : 1;

    public static int Usually(int count) => count * Times;
}
