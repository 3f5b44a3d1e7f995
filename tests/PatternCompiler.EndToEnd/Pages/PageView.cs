using System.Text.Json.Nodes;

namespace PatternCompiler.EndToEnd.Pages;

/// <summary>What a browser made of a page.</summary>
/// <param name="measured">What a script in the page measured.</param>
/// <param name="complaints">Messages of the console and of the browser about the page.</param>
/// <param name="fetched">Addresses that the page asked for.</param>
internal sealed class PageView(JsonNode measured, string[] complaints, string[] fetched)
{
    public string[] Complaints => complaints;

    public string[] Fetched => fetched;

    /// <summary>Pixels by which the page is wider than the view, so that it must be scrolled sideways.</summary>
    public int Overflow => measured["overflow"]!.GetValue<int>();

    /// <summary>Beginnings of tables that are cut off though they should fit the page.</summary>
    public string[] CutTables => [.. measured["cut"]!.AsArray().Select(text => text!.GetValue<string>())];

    /// <summary>Beginnings of tables that go on outside of the view, where nothing says so.</summary>
    public string[] UnhintedTables => [.. measured["unhinted"]!.AsArray().Select(text => text!.GetValue<string>())];

    /// <summary>Words of up to 14 letters that stand on two lines.</summary>
    public string[] TornWords => [.. measured["torn"]!.AsArray().Select(text => text!.GetValue<string>())];

    /// <summary>Natural size, width on the page and alternative text of each picture.</summary>
    public (int Width, int Height, double Shown, string Alternative)[] Pictures =>
    [
        .. measured["images"]!.AsArray().Select(image => (
            image!["width"]!.GetValue<int>(), image["height"]!.GetValue<int>(), image["shown"]!.GetValue<double>(), image["alt"]!.GetValue<string>())),
    ];

    /// <summary>Targets of all links.</summary>
    public string[] Links => [.. measured["links"]!.AsArray().Select(link => link!.GetValue<string>())];

    /// <summary>Links to places that the page does not have.</summary>
    public string[] BrokenLinks => [.. measured["broken"]!.AsArray().Select(link => link!.GetValue<string>())];

    /// <summary>Number of texts smaller than 12 pixels.</summary>
    public int SmallTexts => measured["small"]!.GetValue<int>();

    /// <summary>The text as it is shown.</summary>
    public string Text => measured["text"]!.GetValue<string>();

    /// <summary>
    /// Contrast of text and background: relative luminances as WCAG 2.2 defines them (W3C Recommendation, 2024), 4.5 is its
    /// limit for level AA.
    /// </summary>
    public double Contrast
    {
        get
        {
            double ink = Luminance(measured["ink"]!.GetValue<string>());
            double paper = Luminance(measured["paper"]!.GetValue<string>());
            return (Math.Max(ink, paper) + 0.05) / (Math.Min(ink, paper) + 0.05);
        }
    }

    /// <summary>True if the background is darker than the text.</summary>
    public bool IsDark => Luminance(measured["paper"]!.GetValue<string>()) < Luminance(measured["ink"]!.GetValue<string>());

    private static double Luminance(string colour)
    {
        double[] parts = [.. colour[(colour.IndexOf('(', StringComparison.Ordinal) + 1)..].TrimEnd(')').Split(',').Take(3).Select(part => Linear(int.Parse(part, System.Globalization.CultureInfo.InvariantCulture) / 255.0))];
        return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2];
    }

    private static double Linear(double part) => part <= 0.04045 ? part / 12.92 : Math.Pow((part + 0.055) / 1.055, 2.4);
}
