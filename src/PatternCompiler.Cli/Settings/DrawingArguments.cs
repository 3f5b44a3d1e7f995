using System.Collections.Immutable;
using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Manual;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Dxf.Lowering;
using PatternCompiler.FrontEnds.Image;
using PatternCompiler.FrontEnds.Svg;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Settings;

/// <summary>The options that say how a drawing is read, and the reading itself.</summary>
internal sealed class DrawingArguments
{
    private readonly Option<Quantity?> unit = CreateUnit();
    private readonly Option<string[]> layers = new("--layer", "-l") { Description = "Read this layer; may be given several times. All layers if absent.", HelpName = "NAME" };
    private readonly Option<string[]> parameters = new("--set") { Description = "Replace a parameter of a text layout; may be given several times.", HelpName = "NAME=VALUE" };
    private readonly Option<Quantity?> joinGap = QuantityOption.Create("--join-gap", "Join ends of loose lines and arcs that are no further apart.", Dimension.Length);
    private readonly ChoiceOption<OpenOutlines> openOutlines = ChoiceOption<OpenOutlines>.CreateOptional("--open-outlines", "Outlines that stay open are written as lines without width, or are an error.", Choices.OpenOutlines);
    private readonly ChoiceOption<NestedOutlines> nestedOutlines = ChoiceOption<NestedOutlines>.CreateOptional("--nested-outlines", "An outline within another one of its layer in a DXF drawing adds nothing, or cuts a hole.", Choices.NestedOutlines);
    private readonly Option<bool> textAsStrokes = new("--text") { Description = "Draw the text of a DXF drawing as single strokes; with 'false', leave it out on purpose." };
    private readonly Option<string?> topCell = new("--top-cell") { Description = "Cell of a GDSII stream or OASIS file that is the drawing; the only one that no other places if absent.", HelpName = "NAME" };
    private readonly ChoiceOption<SvgLayerNaming> svgLayers = ChoiceOption<SvgLayerNaming>.Create("--svg-layers", "Layers of an SVG drawing are its named groups or its colours.", Choices.SvgLayers);
    private readonly ChoiceOption<bool> imageExposes = ChoiceOption<bool>.Create("--image-exposes", "Pixels of a picture that are exposed; --unit states the size of a pixel.", Choices.ImageExposesLight);
    private readonly Option<double?> imageThreshold = NumberOption.CreateReal("--image-threshold", "Expose pixels at least this dark (or light): 0 to 1, 0.5 if absent.", 0, 1);
    private readonly Option<long?> imageLevels = NumberOption.CreateWhole("--image-levels", "Write the greys of a picture as this number of dose levels.", 1, 255);

    public DrawingArguments()
    {
        parameters.Validators.Add(result =>
        {
            foreach (var token in result.Tokens.Where(token => token.Value.IndexOf('=', StringComparison.Ordinal) < 1))
            {
                result.AddError($"option '--set' takes NAME=VALUE, not '{token.Value}'");
            }
        });
    }

    /// <summary>Adds them to a command.</summary>
    public void AddTo(PatternCommand command)
    {
        command.Add(OptionGroup.Drawing, unit);
        command.Add(OptionGroup.Drawing, layers);
        command.Add(OptionGroup.Drawing, parameters);
        command.Add(OptionGroup.Drawing, joinGap);
        command.Add(OptionGroup.Drawing, openOutlines);
        command.Add(OptionGroup.Drawing, nestedOutlines);
        command.Add(OptionGroup.Drawing, textAsStrokes);
        command.Add(OptionGroup.Drawing, topCell);
        command.Add(OptionGroup.Drawing, svgLayers);
        command.Add(OptionGroup.Drawing, imageExposes);
        command.Add(OptionGroup.Drawing, imageThreshold);
        command.Add(OptionGroup.Drawing, imageLevels);
    }

    /// <summary>A drawing with these options as the source of a job.</summary>
    public JobSource SourceOf(string path, ParseResult result) => new(path)
    {
        UnitNanometres = result.GetValue(unit)?.In(Unit.Nanometre),
        Layers = [.. result.GetValue(layers) ?? []],
        JoinGapNanometres = result.GetValue(joinGap)?.In(Unit.Nanometre) ?? DrawingOptions.Default.JoinGapNanometres,
        OpenOutlines = openOutlines.In(result, DrawingOptions.Default.OpenOutlines),
        NestedOutlines = result.GetResult(nestedOutlines) is null ? null : nestedOutlines.In(result),
        Parameters = (result.GetValue(parameters) ?? []).Select(text => text.Split('=', 2)).ToImmutableSortedDictionary(
            pair => pair[0].Trim(), pair => pair[1].Trim(), StringComparer.Ordinal),
        TextAsStrokes = result.GetResult(textAsStrokes) is { Implicit: false } ? result.GetValue(textAsStrokes) : null,
        TopCell = result.GetValue(topCell),
        SvgLayerNaming = svgLayers.In(result),
        Image = new ImageOptions
        {
            ExposesLight = imageExposes.In(result),
            Threshold = result.GetValue(imageThreshold) ?? new ImageOptions().Threshold,
            DoseLevels = (int)(result.GetValue(imageLevels) ?? 1),
        },
    };

    /// <summary>Reads an open drawing of any kind, where it stands.</summary>
    public LayoutDocument Read(InputStream input, Job job, ParseResult result, CommandContext context)
    {
        JobSource source = SourceOf(input.Name, result);
        DrawingOptions options = StageOptions.Drawing(job, source) with { OpenInclude = new BuildFiles(context).OpenInclude };
        LayoutDocument layout = DrawingReader.Read(input, input.Name, options, context.Sink, context.Cancellation);
        return SourceAssembly.Run([(layout, source)]);
    }

    private static Option<Quantity?> CreateUnit() => new("--unit")
    {
        Description = "Length of one drawing unit, such as um or \"25.4 um\"; overrides the unit that the file states.",
        HelpName = "LENGTH",
        CustomParser = result =>
        {
            string text = result.Tokens[0].Value;
            string quantity = text.Length > 0 && (char.IsAsciiDigit(text[0]) || text[0] is '.' or '+' or '-') ? text : "1 " + text;
            if (Quantity.TryParse(quantity, [Dimension.Length], out Quantity length, out QuantityFault? fault) && length.Number > 0)
            {
                return length;
            }

            result.AddError($"option '--unit' {fault?.Problem ?? $"must be above zero, but it is '{text}'"}; write for example um");
            return null;
        },
    };
}
