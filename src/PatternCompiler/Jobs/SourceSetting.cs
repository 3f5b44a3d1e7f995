using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>
/// A setting of how a drawing is read that has one value: a key of a source in a job file and, with dashes, an option of every command
/// that reads drawings. Both are made from the one line here.
/// </summary>
/// <param name="Key">The key in a job file.</param>
/// <param name="Description">What it does, for help and manual.</param>
/// <param name="HelpName">What the option's value is called.</param>
/// <param name="Words">The values, if it is one of a few words; else empty.</param>
/// <param name="Read">Reads the value into options.</param>
internal sealed record SourceSetting(string Key, string Description, string HelpName, ImmutableArray<string> Words, Func<YamlNode, DrawingOptions, DrawingOptions> Read)
{
    /// <summary>All of them, in the order of help.</summary>
    public static ImmutableArray<SourceSetting> All { get; } =
    [
        new("unit", "Length of one drawing unit, such as um or \"25.4 um\"; overrides the unit that the file states.", "LENGTH", [], (node, options) => options with { UnitNanometres = ReadUnit(node) }),
        new("join_gap", "Join ends of loose lines and arcs that are no further apart. For example \"5 nm\".", "QUANTITY", [], (node, options) => options with { JoinGapNanometres = node.AsNonNegative(Unit.Nanometre) }),
        OneOf("open_outlines", "Outlines that stay open are written as lines without width, or are an error.", Choices.OpenOutlines, (options, value) => options with { OpenOutlines = value }),
        OneOf("nested_outlines", "An outline within another one of its layer in a DXF drawing adds nothing, or cuts a hole.", Choices.NestedOutlines, (options, value) => options with { NestedOutlines = value }),
        new("top_cell", "Cell of a GDSII stream or OASIS file that is the drawing; the only one that no other places if absent.", "NAME", [], (node, options) => options with { TopCell = node.AsText() }),
        OneOf("svg_layers", "Layers of an SVG drawing are its named groups (the default) or its colours.", Choices.SvgLayers, (options, value) => options with { SvgLayerNaming = value }),
        OneOf("image_exposes", "Pixels of a picture that are exposed (the dark ones by default); --unit states the size of a pixel.", Choices.ImageExposesLight, (options, value) => options with { Image = options.Image with { ExposesLight = value } }),
        new("image_threshold", "Expose pixels at least this dark (or light): 0 to 1, 0.5 if absent.", "NUMBER", [], (node, options) => options with { Image = options.Image with { Threshold = node.AsReal(0, 1) } }),
        new("image_levels", "Write the greys of a picture as this number of dose levels.", "N", [], (node, options) => options with { Image = options.Image with { DoseLevels = (int)node.AsInteger(1, 255) } }),
    ];

    /// <summary>The option.</summary>
    public string OptionName => "--" + Key.Replace('_', '-');

    /// <summary>Reads the value that the option was given.</summary>
    /// <exception cref="CompileException">The text is no such value.</exception>
    public DrawingOptions ReadOption(string text, DrawingOptions options) =>
        Read(new YamlScalar(new YamlSource(null, text), OptionName, 0, 0, text), options);

    private static SourceSetting OneOf<T>(string key, string description, Choice<T> choice, Func<DrawingOptions, T, DrawingOptions> set) =>
        new(key, description, string.Join('|', choice.OptionWords), choice.Words, (node, options) => set(options, node.AsChoice(choice)));

    /// <summary>"um" or "25.4 um": a unit alone means one of it.</summary>
    private static double ReadUnit(YamlNode node)
    {
        string text = node.AsText();
        bool startsWithNumber = char.IsAsciiDigit(text[0]) || text[0] is '.' or '+' or '-';
        if (!Quantity.TryParse(startsWithNumber ? text : $"1 {text}", [Dimension.Length], out Quantity length, out _))
        {
            throw node.Error(UnitCodes.UnknownUnit, $"{node.Name} needs a unit of length, but it is '{text}'", "write for example um");
        }

        return length.Number > 0 ? length.In(Unit.Nanometre) : throw node.OutOfRange($"{node.Name} must be above zero, but it is '{text}'");
    }
}
