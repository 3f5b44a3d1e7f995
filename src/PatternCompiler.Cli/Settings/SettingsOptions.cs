using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Manual;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Cli.Settings;

/// <summary>
/// The options by which a stage learns its settings: a job file, a machine file, a process file, and single values that
/// replace theirs. What is not given is built in, and said so.
/// </summary>
internal sealed class SettingsOptions
{
    private readonly Option<string?> job = FileOption.CreateRead("--job", "Job file; its machine and process are used, too.");
    private readonly Option<string?> machine;
    private readonly Option<string?> process;
    private readonly Option<bool> others = new("--other-settings") { Description = "Judge a document with other settings than it was made with, too; the output says so." };
    private readonly SettingsNeed need;
    private readonly SettingOverride[] overrides;

    /// <summary>Declares the options of a stage.</summary>
    /// <param name="need">Which files the stage's result depends on; only their absence is noted.</param>
    /// <param name="overrides">Single values that make sense on this stage's command line.</param>
    public SettingsOptions(SettingsNeed need, params SettingOverride[] overrides)
    {
        this.need = need;
        this.overrides = overrides;
        machine = FileOption.CreateRead("--machine", "Machine file; overrides the one that the job names.");
        process = FileOption.CreateRead("--process", "Process file; overrides the one that the job names.");
    }

    /// <summary>Adds them to a command.</summary>
    public void AddTo(PatternCommand command)
    {
        if (HasJob)
        {
            command.Add(OptionGroup.Settings, job);
        }

        if (need.HasFlag(SettingsNeed.Machine))
        {
            command.Add(OptionGroup.Settings, machine);
        }

        if (need.HasFlag(SettingsNeed.Process))
        {
            command.Add(OptionGroup.Settings, process);
        }

        foreach (SettingOverride value in overrides)
        {
            command.Options.Add(value.Option);
        }

        if (Judges)
        {
            command.Add(OptionGroup.Settings, others);
        }
    }

    /// <summary>A job may be named; false for a command whose input is one.</summary>
    public bool HasJob { get; init; } = true;

    /// <summary>The command judges documents, which must have been made with these settings.</summary>
    public bool Judges { get; init; }

    /// <summary>True if documents may be judged that were made with others.</summary>
    public bool AcceptsOthers(ParseResult result) => Judges && result.GetValue(others);

    /// <summary>True if the command line names a machine, by itself or by its job.</summary>
    public bool NamesMachine(ParseResult result) => result.GetValue(machine) is not null || ReadJob(result).MachinePath is not null;

    /// <summary>True if the command line names a process, by itself or by its job.</summary>
    public bool NamesProcess(ParseResult result) => result.GetValue(process) is not null || ReadJob(result).ProcessPath is not null;

    /// <summary>The settings of this run.</summary>
    public BuildSettings Read(ParseResult result, CommandContext context) => Read(result, context, need);

    /// <summary>The settings of a run that needs only some of what the stage can need.</summary>
    public BuildSettings Read(ParseResult result, CommandContext context, SettingsNeed needed) => Read(ReadJob(result), result, context, needed);

    /// <summary>The job of this run: the file that is named, or the built-in one.</summary>
    public Job ReadJob(ParseResult result) => result.GetValue(job) is { } path ? JobFile.Read(path) : DefaultFiles.Job;

    /// <summary>The settings of this run of a job that is at hand.</summary>
    public BuildSettings Read(Job chosen, ParseResult result, CommandContext context) => Read(chosen, result, context, need);

    /// <summary>The same for a run that needs only some of what the stage can need.</summary>
    public BuildSettings Read(Job chosen, ParseResult result, CommandContext context, SettingsNeed needed)
    {
        string? machinePath = needed.HasFlag(SettingsNeed.Machine) ? result.GetValue(machine) ?? chosen.MachinePath : null;
        string? processPath = needed.HasFlag(SettingsNeed.Process) ? result.GetValue(process) ?? chosen.ProcessPath : null;
        Machine usedMachine = machinePath is null ? DefaultFiles.Machine : MachineFile.Read(machinePath);
        Resist usedProcess = processPath is null ? DefaultFiles.Process : ProcessFile.Read(processPath);
        NoteBuiltIn(
            machinePath is null && needed.HasFlag(SettingsNeed.Machine) ? usedMachine.Name : null,
            processPath is null && needed.HasFlag(SettingsNeed.Process) ? usedProcess.Name : null,
            context);
        if (usedMachine.OldSense is { } note)
        {
            context.Postpone(note);
        }

        context.IsStrict |= chosen.IsStrict;
        var settings = new BuildSettings(chosen with { MachinePath = machinePath, ProcessPath = processPath }, usedMachine, usedProcess);
        foreach (SettingOverride value in overrides)
        {
            settings = value.Apply(result, settings);
        }

        return settings;
    }

    private static void NoteBuiltIn(string? machine, string? process, CommandContext context)
    {
        string[] used =
        [
            .. machine is null ? Array.Empty<string>() : [$"machine '{machine}'"],
            .. process is null ? Array.Empty<string>() : [$"process '{process}'"],
        ];
        if (used.Length > 0)
        {
            context.Postpone(new Diagnostic(
                CommandCodes.BuiltInSettings,
                Severity.Note,
                $"used the built-in {string.Join(" and ", used)}",
                Fix: "'patternc init' writes them as files to change"));
        }
    }
}
