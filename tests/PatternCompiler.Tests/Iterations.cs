namespace PatternCompiler.Tests;

/// <summary>
/// How many random cases a test tries: PATTERNC_LONG_TESTS (a number) times the usual, for a long run by hand. A case that fails
/// is printed with its seed; CsCheck_Seed set to that seed tries it first.
/// </summary>
internal static class Iterations
{
    private static readonly int Times = int.TryParse(Environment.GetEnvironmentVariable("PATTERNC_LONG_TESTS"), out int times) ? times : 1;

    public static int Usually(int count) => checked(count * Times);
}
