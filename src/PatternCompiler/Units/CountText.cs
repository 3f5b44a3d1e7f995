using System.Globalization;

namespace PatternCompiler.Units;

/// <summary>A whole number and what is counted, with its verb where it has one.</summary>
internal static class CountText
{
    /// <summary>"1 figure lies", "2 figures lie".</summary>
    /// <param name="count">How many.</param>
    /// <param name="one">What follows 1.</param>
    /// <param name="many">What follows any other number.</param>
    public static string Of(long count, string one, string many) => $"{count.ToString(CultureInfo.InvariantCulture)} {Word(count, one, many)}";

    /// <summary>"is" of 1, "are" of any other number: a word that stands apart from its number.</summary>
    public static string Word(long count, string one, string many) => count == 1 ? one : many;

    /// <summary>"once", "2 times".</summary>
    public static string Times(long count) => count == 1 ? "once" : Of(count, "", "times");
}
