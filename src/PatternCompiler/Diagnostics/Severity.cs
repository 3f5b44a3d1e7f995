namespace PatternCompiler.Diagnostics;

/// <summary>How much a diagnostic weighs.</summary>
public enum Severity
{
    /// <summary>Worth knowing (what was ignored, what was chosen); nothing is wrong.</summary>
    Note,

    /// <summary>The output is made, but it may not be what the user wants.</summary>
    Warning,

    /// <summary>No output is made.</summary>
    Error,
}
