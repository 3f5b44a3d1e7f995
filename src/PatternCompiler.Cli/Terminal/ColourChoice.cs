namespace PatternCompiler.Cli.Terminal;

/// <summary>When messages are coloured. The environment's <c>NO_COLOR</c> and a dumb terminal turn colour off.</summary>
internal enum ColourChoice
{
    /// <summary>Only on a terminal.</summary>
    Auto,

    /// <summary>Even into a file.</summary>
    Always,

    /// <summary>Never.</summary>
    Never,
}
