namespace PatternCompiler.Cli.Settings;

/// <summary>Which settings files a stage's result depends on, besides the job.</summary>
[Flags]
internal enum SettingsNeed
{
    /// <summary>The job alone.</summary>
    None = 0,

    /// <summary>The machine.</summary>
    Machine = 1,

    /// <summary>The process.</summary>
    Process = 2,

    /// <summary>Both.</summary>
    All = Machine | Process,
}
