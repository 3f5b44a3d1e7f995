namespace PatternCompiler.Cli.Manual;

/// <summary>Where an option stands in the help of a command; the order is that of the help.</summary>
internal enum OptionGroup
{
    /// <summary>What the command does.</summary>
    Work,

    /// <summary>How drawings are read, the same for all commands that read them.</summary>
    Drawing,

    /// <summary>Where results go, and in which form.</summary>
    Output,

    /// <summary>Job, machine and process, and single values in place of theirs.</summary>
    Settings,

    /// <summary>What every command takes.</summary>
    Everywhere,
}
