using System.Globalization;

namespace PatternCompiler.Diagnostics;

/// <summary>Which figure, stroke or record of the pattern a message is about, where it lies, and what was drawn there.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="Number">Its number in its document, from 0; with write fields, within its field. Negative if only the position is known.</param>
public sealed record ItemPlace(ItemKind Kind, long Number)
{
    private const int Decimals = 4;

    /// <summary>Its layer, where that is not the one that the place names already; or null.</summary>
    public string? Layer { get; init; }

    /// <summary>Its write field, or null.</summary>
    public string? Field { get; init; }

    /// <summary>A point of it in the pattern, in nanometres, where that is known.</summary>
    public double? XNanometres { get; init; }

    /// <summary>As <see cref="XNanometres"/>.</summary>
    public double? YNanometres { get; init; }

    /// <summary>Where else it was drawn, if shapes lie on each other there: two at most.</summary>
    public IReadOnlyList<SourcePlace> Also { get; init; } = [];

    /// <summary>How many more shapes were drawn there.</summary>
    public int More { get; init; }

    /// <summary>Layer, position and drawing have been looked up.</summary>
    internal bool IsComplete { get; init; }

    /// <summary>For example "figure 17 on layer pads at (12.3, 4.5) um".</summary>
    public override string ToString()
    {
        string text = Number < 0 ? "" : string.Create(CultureInfo.InvariantCulture, $"{Word} {Number}");
        text += Layer is null ? "" : Number < 0 ? $"layer {Layer}" : $" on layer {Layer}";
        text += Field is null ? "" : $" in field {Field}";
        text += XNanometres is double x && YNanometres is double y ? $" at ({Micrometres(x)}, {Micrometres(y)}) um" : "";
        return text.TrimStart();
    }

    /// <summary>What it is, as messages and JSON say it.</summary>
    internal string Word => Kind switch { ItemKind.Figure => "figure", ItemKind.Stroke => "stroke", _ => "record" };

    private static string Micrometres(double nanometres) =>
        (Math.Round(nanometres / 1000, Decimals, MidpointRounding.AwayFromZero) + 0.0).ToString("0.####", CultureInfo.InvariantCulture);
}

/// <summary>What of the pattern a message is about.</summary>
public enum ItemKind
{
    /// <summary>A figure of a figures document.</summary>
    Figure,

    /// <summary>A stroke of a strokes document.</summary>
    Stroke,

    /// <summary>A record of a records document or stream.</summary>
    Record,
}
