namespace PatternCompiler.Diagnostics;

/// <summary>What sort of fault a diagnostic reports. The command line maps each kind to one exit code.</summary>
public enum DiagnosticKind
{
    /// <summary>Worth knowing; always a note.</summary>
    Remark,

    /// <summary>The output is made, but may not be what the user wants; a warning.</summary>
    Doubt,

    /// <summary>The input (drawing, document or YAML file) is wrong or cannot be written by this machine.</summary>
    Input,

    /// <summary>The command line is wrong.</summary>
    Usage,

    /// <summary>A check or a prediction found a violation that the user asked to treat as an error.</summary>
    Violation,

    /// <summary>
    /// The sample would not get what was drawn: part of it is not exposed, or something prints that nobody drew. Such a
    /// diagnostic is never less than a warning, and an error where nothing may be lost.
    /// </summary>
    Loss,

    /// <summary>A file or stream cannot be read or written.</summary>
    InputOutput,

    /// <summary>The program itself is at fault.</summary>
    Defect,
}
