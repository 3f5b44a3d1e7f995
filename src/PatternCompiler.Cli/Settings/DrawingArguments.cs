using System.Collections.Immutable;
using System.CommandLine;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Manual;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Cli.Settings;

/// <summary>The options that say how a drawing is read, and the reading itself.</summary>
internal sealed class DrawingArguments
{
    private readonly Option<string[]> layers = new("--layer", "-l") { Description = "Read this layer; may be given several times. All layers if absent.", HelpName = "NAME" };
    private readonly Option<string[]> parameters = new("--set") { Description = "Replace a parameter of a text layout; may be given several times.", HelpName = "NAME=VALUE" };
    private readonly Option<bool> textAsStrokes = new("--text") { Description = "Draw the text of a DXF drawing as single strokes; with 'false', leave it out on purpose." };

    private readonly ImmutableArray<(SourceSetting Setting, Option<string?> Option)> settings = [.. SourceSetting.All.Select(setting => (setting, OptionOf(setting)))];

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
        command.Add(OptionGroup.Drawing, layers);
        command.Add(OptionGroup.Drawing, parameters);
        command.Add(OptionGroup.Drawing, textAsStrokes);
        foreach ((_, Option<string?> option) in settings)
        {
            command.Add(OptionGroup.Drawing, option);
        }
    }

    /// <summary>A drawing with these options as the source of a job.</summary>
    public JobSource SourceOf(string path, ParseResult result)
    {
        DrawingOptions reading = DrawingOptions.Default with
        {
            Layers = [.. result.GetValue(layers) ?? []],
            Parameters = (result.GetValue(parameters) ?? []).Select(text => text.Split('=', 2)).ToImmutableSortedDictionary(
                pair => pair[0].Trim(), pair => pair[1].Trim(), StringComparer.Ordinal),
            TextAsStrokes = result.GetResult(textAsStrokes) is { Implicit: false } ? result.GetValue(textAsStrokes) : null,
        };
        foreach ((SourceSetting setting, Option<string?> option) in settings)
        {
            reading = result.GetValue(option) is { } value ? setting.ReadOption(value, reading) : reading;
        }

        return new JobSource(path) { Reading = reading };
    }

    /// <summary>Reads an open drawing of any kind, where it stands.</summary>
    public LayoutDocument Read(InputStream input, Job job, ParseResult result, CommandContext context)
    {
        JobSource source = SourceOf(input.Name, result);
        DrawingOptions options = StageOptions.Drawing(job, source) with { OpenInclude = new BuildFiles(context).OpenInclude };
        LayoutDocument layout = DrawingReader.Read(input, input.Name, options, context.Sink, context.Cancellation);
        return SourceAssembly.Run([(layout, source)]);
    }

    private static Option<string?> OptionOf(SourceSetting setting)
    {
        var option = new Option<string?>(setting.OptionName) { Description = setting.Description, HelpName = setting.HelpName };
        option.CompletionSources.Add([.. setting.Words.Select(word => word.Replace(' ', '-'))]);
        option.Validators.Add(result =>
        {
            try
            {
                setting.ReadOption(result.Tokens is [{ } token, ..] ? token.Value : "", DrawingOptions.Default);
            }
            catch (CompileException fault)
            {
                result.AddError($"option {fault.Diagnostic.Message}{(fault.Diagnostic.Fix is { } fix ? $"; {fix}" : "")}");
            }
        });
        return option;
    }
}
