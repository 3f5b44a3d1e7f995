namespace PatternCompiler.Cli.Terminal;

/// <summary>Decides whether messages are coloured.</summary>
internal static class ColourRule
{
    /// <summary>
    /// The option wins over the environment; by itself colour is on for a terminal unless <c>NO_COLOR</c> is set to
    /// anything (the informal standard of no-color.org) or <c>TERM</c> is "dumb".
    /// </summary>
    public static bool UsesColour(ColourChoice choice, bool isTerminal, string? noColour, string? term) => choice switch
    {
        ColourChoice.Always => true,
        ColourChoice.Never => false,
        _ => isTerminal && string.IsNullOrEmpty(noColour) && term != "dumb",
    };
}

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
