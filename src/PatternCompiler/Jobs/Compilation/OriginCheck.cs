using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>
/// Sees that a document is judged with the settings that it was made with. A document that states none (an old stream) is
/// judged only with settings that somebody has named.
/// </summary>
/// <param name="settings">The settings of the judgement; those that no path names are built in.</param>
/// <param name="acceptsOthers">Judge with other settings, too; that is told as a warning.</param>
/// <param name="sink">Takes the warning.</param>
internal sealed class OriginCheck(BuildSettings settings, bool acceptsOthers, DiagnosticSink sink)
{
    private readonly HashSet<string> told = new(StringComparer.Ordinal);

    /// <summary>Checks strokes in front of <paramref name="next"/>.</summary>
    public IDocumentSink<StrokesHeader, Stroke> Strokes(string name, IDocumentSink<StrokesHeader, Stroke> next) =>
        new Gate<StrokesHeader, Stroke>(next, header => RequireProcess(header.Exposure, name));

    /// <summary>Checks records in front of <paramref name="next"/>.</summary>
    public IDocumentSink<RecordsHeader, DeflectionRecord> Records(string name, IDocumentSink<RecordsHeader, DeflectionRecord> next) =>
        new Gate<RecordsHeader, DeflectionRecord>(next, header =>
        {
            RequireMachine(header, name);
            RequireProcess(header.MadeFor.Exposure, name);
        });

    /// <summary>Checks records that are judged by the machine alone.</summary>
    public IDocumentSink<RecordsHeader, DeflectionRecord> RecordsOfMachine(string name, IDocumentSink<RecordsHeader, DeflectionRecord> next) =>
        new Gate<RecordsHeader, DeflectionRecord>(next, header => RequireMachine(header, name));

    private void RequireMachine(RecordsHeader header, string name) =>
        Require(header.MadeFor.Settings, SettingsDigests.Of(settings.Machine), "machine", $" '{header.MachineName}'", settings.Machine.Name, settings.Job.MachinePath, name);

    private void RequireProcess(SettingsDigest made, string name) =>
        Require(made, SettingsDigests.Of(settings.Process), "process", "", settings.Process.Name, settings.Job.ProcessPath, name);

    private void Require(SettingsDigest made, SettingsDigest given, string what, string madeName, string givenName, string? path, string document)
    {
        if (made == given || (!made.IsStated && path is not null))
        {
            return;
        }

        string used = path is null ? $"the built-in {what} '{givenName}'" : $"the {what} '{givenName}' of {path}";
        string fault = made.IsStated
            ? $"made for another {what}{madeName} (settings {Shown(made)}) than {used} (settings {Shown(given)})"
            : $"does not say for which {what} it was made, and none is named";
        if (!acceptsOthers)
        {
            throw new CompileException(
                PredictionCodes.OtherSettings,
                fault,
                new SourcePlace(document),
                $"name the settings that it was made with: --job FILE or --{what} FILE; to judge it with others on purpose, add --other-settings");
        }

        // Of the fields of a pattern, once.
        if (told.Add(fault))
        {
            sink.Warn(PredictionCodes.OtherSettings, $"judged with {used}: {fault}", new SourcePlace(document));
        }
    }

    private static string Shown(SettingsDigest digest) => digest.ToString()[..8];

    private sealed class Gate<THeader, TItem>(IDocumentSink<THeader, TItem> next, Action<THeader> require) : IDocumentSink<THeader, TItem>
        where TItem : struct
    {
        public void Begin(THeader header)
        {
            require(header);
            next.Begin(header);
        }

        public void Write(ReadOnlySpan<TItem> items) => next.Write(items);

        public void End() => next.End();
    }
}
