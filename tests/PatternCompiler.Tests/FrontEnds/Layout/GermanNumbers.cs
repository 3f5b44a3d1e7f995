using System.Globalization;

namespace PatternCompiler.Tests.FrontEnds.Layout;

/// <summary>A culture that writes a decimal comma and parts thousands with points, as de-DE does.</summary>
internal static class GermanNumbers
{
    public static CultureInfo Culture { get; } = Make();

    private static CultureInfo Make()
    {
        var culture = (CultureInfo)CultureInfo.InvariantCulture.Clone();
        culture.NumberFormat.NumberDecimalSeparator = ",";
        culture.NumberFormat.NumberGroupSeparator = ".";
        culture.NumberFormat.NegativeSign = "\u2212";
        return culture;
    }
}
