using System.Collections.Immutable;
using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Dxf;
using PatternCompiler.FrontEnds.Layout;
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
    private readonly Option<string?> openOutlines = ChoiceOption.CreateOptional("--open-outlines", "Outlines that stay open are written as lines without width, or are an error.", "lines", "error");

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
    public void AddTo(Command command)
    {
        command.Options.Add(unit);
        command.Options.Add(layers);
        command.Options.Add(parameters);
        command.Options.Add(joinGap);
        command.Options.Add(openOutlines);
    }

    /// <summary>Layers to read; empty for all.</summary>
    public ImmutableArray<string> Layers(ParseResult result) => [.. result.GetValue(layers) ?? []];

    /// <summary>Reads an open drawing of any kind.</summary>
    public LayoutDocument Read(InputStream source, StageSettings settings, ParseResult result, CommandContext context) =>
        DrawingReader.Read(source, source.Name, Options(settings, result, context), context.Sink, context.Cancellation);

    /// <summary>How drawings are read by these options.</summary>
    public DrawingOptions Options(StageSettings settings, ParseResult result, CommandContext context) => new()
    {
        UnitNanometres = result.GetValue(unit)?.In(Unit.Nanometre),
        GridPicometres = settings.Job.GridPicometres,
        ChordErrorNanometres = settings.Job.ChordErrorNanometres,
        Layers = Layers(result),
        JoinGapNanometres = result.GetValue(joinGap)?.In(Unit.Nanometre) ?? DrawingOptions.Default.JoinGapNanometres,
        OpenOutlines = result.GetValue(openOutlines) == "error" ? OpenOutlines.AsError : OpenOutlines.AsLines,
        Parameters = (result.GetValue(parameters) ?? []).Select(text => text.Split('=', 2)).ToImmutableSortedDictionary(
            pair => pair[0].Trim(), pair => pair[1].Trim(), StringComparer.Ordinal),
        OpenInclude = (name, from) => OpenInclude(name, from, context),
    };

    /// <summary>Opens a file that a text layout includes: names are relative to the file that includes it.</summary>
    public static IncludedFile? OpenInclude(string name, string from, CommandContext context)
    {
        string folder = from == InputFile.StandardName ? "" : Path.GetDirectoryName(from) ?? "";
        string path = Path.Combine(folder, name);
        return File.Exists(path) ? new IncludedFile(context.Open(path), path) : null;
    }

    private static Option<Quantity?> CreateUnit() => new("--unit")
    {
        Description = "Length of one drawing unit, such as um or \"25.4 um\"; goes before the unit that the file states.",
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
