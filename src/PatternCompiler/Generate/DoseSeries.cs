using PatternCompiler.Units;

namespace PatternCompiler.Generate;

/// <summary>Dose factors in equal ratios from a first to a last one.</summary>
internal static class DoseSeries
{
    public static readonly PatternParameter First = PatternParameter.Factor("first-dose", "0.5", "smallest dose factor");

    public static readonly PatternParameter Last = PatternParameter.Factor("last-dose", "2", "largest dose factor");

    /// <summary>Factor number i of n, rounded to 1/1000 so that what the label says is what is written.</summary>
    public static DoseFactor At(PatternArguments arguments, int i, int n)
    {
        double first = arguments.Factor(First.Name);
        double last = arguments.Factor(Last.Name);
        PatternDrawing.Require(last >= first, "the last dose is below the first", "set last-dose to a larger factor");
        double factor = n == 1 ? first : first * Math.Pow(last / first, (double)i / (n - 1));
        return DoseFactor.FromValue(Math.Round(factor, 3, MidpointRounding.AwayFromZero));
    }
}
