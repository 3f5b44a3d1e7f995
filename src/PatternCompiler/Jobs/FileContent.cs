using System.Collections.Immutable;
using PatternCompiler.Files;

namespace PatternCompiler.Jobs;

/// <summary>
/// What an output can hold, and the endings of names that mean it. A name may end in anything but the ending of another content.
/// </summary>
/// <param name="Word">The word for it on the command line and in job files.</param>
/// <param name="Title">What it is, for messages.</param>
/// <param name="Endings">Endings that mean it, with their point; the first is the usual one.</param>
internal sealed record FileContent(string Word, string Title, ImmutableArray<string> Endings)
{
    /// <summary>A text for people, whose name may end in anything that means nothing else.</summary>
    public static FileContent Text { get; } = new("text", "a text", []);

    /// <summary>A table of measurements, as the fits read it; its ending is also that of a table of voltages.</summary>
    public static FileContent Table { get; } = new("table", "a table of measurements", [".csv"]);

    /// <summary>Everything that has an ending of its own.</summary>
    public static ImmutableArray<FileContent> All { get; } =
    [
        new("layout", "a layout", [".layout"]),
        new("figures", "figures", [".figures"]),
        new("strokes", "strokes", [".strokes"]),
        .. OutputFormats.Contents,
        new("places", "places of a drawing", [".places"]),
        new("png", "a PNG picture", [".png"]),
        new("svg", "SVG", [".svg"]),
        new("dxf", "a DXF drawing", [".dxf"]),
        new("gdsii", "a GDSII drawing", [".gds", ".gdsii"]),
        new("html", "a page", [".html", ".htm"]),
        new("json", "JSON", [".json"]),
        new("yaml", "YAML", [".yaml", ".yml"]),
    ];

    /// <summary>The content of a word that is one of <see cref="All"/>.</summary>
    public static FileContent Of(string word) => All.First(content => content.Word == word);

    /// <summary>The content that the ending of a name means; null if it means none.</summary>
    public static FileContent? OfName(string name)
    {
        string ending = Path.GetExtension(name);
        return All.FirstOrDefault(content => content.Endings.Contains(ending, StringComparer.OrdinalIgnoreCase));
    }

    /// <summary>What is wrong with a name for something that is fixed or chosen otherwise; null if nothing is.</summary>
    public string? FaultOf(string name) => OfName(name) is { } other && other.Word != Word && !Endings.Contains(Path.GetExtension(name), StringComparer.OrdinalIgnoreCase)
        ? $"'{name}' ends in {Path.GetExtension(name)}, which means {other.Title}, but it would hold {Title}"
        : null;
}
