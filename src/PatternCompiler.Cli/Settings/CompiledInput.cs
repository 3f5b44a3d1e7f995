using System.CommandLine;
using PatternCompiler.Cli.Files;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs;

namespace PatternCompiler.Cli.Settings;

/// <summary>
/// The input of a command that compiles: a job file, a drawing or any later document, open, with the settings under which the
/// pipeline takes it on.
/// </summary>
internal sealed class CompiledInput : IDisposable
{
    private readonly InputStream stream;
    private readonly BuildFiles files;
    private readonly CommandContext context;

    private CompiledInput(InputStream stream, BuildFiles files, PipelineInput document, BuildSettings settings, bool acceptsOtherSettings, CommandContext context)
    {
        this.stream = stream;
        this.files = files;
        this.context = context;
        Document = document;
        Settings = settings;
        Pipeline = new Pipeline(settings, files, context.Sink, context.Cancellation) { AcceptsOtherSettings = acceptsOtherSettings };
    }

    /// <summary>What it is.</summary>
    public PipelineInput Document { get; }

    /// <summary>Job, machine and process.</summary>
    public BuildSettings Settings { get; }

    /// <summary>The stages that are left.</summary>
    public Pipeline Pipeline { get; }

    /// <summary>Opens an input.</summary>
    /// <param name="name">Its name, "-" for standard input.</param>
    /// <param name="result">The command line.</param>
    /// <param name="settings">Where the command line says which settings hold.</param>
    /// <param name="drawing">Where it says how a drawing is read.</param>
    /// <param name="need">Which settings the command depends on.</param>
    /// <param name="context">Messages and cancellation.</param>
    /// <param name="needOfEarlier">Which settings it depends on besides where the input is no records yet.</param>
    public static CompiledInput Open(
        string name, ParseResult result, SettingsOptions settings, DrawingArguments drawing, SettingsNeed need, CommandContext context, SettingsNeed needOfEarlier = SettingsNeed.None)
    {
        InputStream stream = context.Open(name);
        try
        {
            DocumentKind kind = DocumentKindOf.Head(stream.Peek(JobInput.HeadBytes));
            Job job = kind == DocumentKind.Drawing ? JobInput.Read(stream, result, settings, drawing) : settings.ReadJob(result);

            need |= kind is DocumentKind.Records or DocumentKind.Stream ? SettingsNeed.None : needOfEarlier;

            // Heights become doses by the resist's response.
            need |= kind == DocumentKind.Drawing && job.Layers.Any(layer => layer.Relief is not null) ? SettingsNeed.Process : SettingsNeed.None;
            PipelineInput document = kind == DocumentKind.Drawing ? PipelineInput.Drawings : new PipelineInput(kind, stream, name);
            return new CompiledInput(stream, new BuildFiles(context, stream), document, settings.Read(job, result, context, need), settings.AcceptsOthers(result), context);
        }
        catch
        {
            stream.Dispose();
            throw;
        }
    }

    /// <summary>Opens what a command takes that cuts drawings: a job file or a drawing, nothing later.</summary>
    public static CompiledInput OpenDrawing(
        string name, ParseResult result, SettingsOptions settings, DrawingArguments drawing, SettingsNeed need, CommandContext context)
    {
        CompiledInput input = Open(name, result, settings, drawing, need, context);
        if (input.Document.Kind == DocumentKind.Drawing)
        {
            return input;
        }

        input.Dispose();
        throw new CompileException(
            DrawingCodes.Unknown, "this is a later document, not a drawing", new SourcePlace(name), "name a job file, a drawing or a layout");
    }

    /// <summary>Lets messages name the drawing, where the command line names the file of places of a later document.</summary>
    public void UsePlaces(Option<string?> option, ParseResult result)
    {
        if (Document.Kind == DocumentKind.Drawing && result.GetValue(option) is string places)
        {
            throw new CompileException(
                CommandCodes.WrongUsage, "--places is for what a build has made, and messages about a drawing name it anyway", new SourcePlace(places), "leave the option out");
        }

        PlacesOption.Use(option, result, stream.Name, Pipeline, Settings.Job.Limits, context);
    }

    /// <summary>Closes it.</summary>
    public void Dispose()
    {
        files.Dispose();
        stream.Dispose();
    }
}
