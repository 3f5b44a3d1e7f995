namespace PatternCompiler.Diagnostics;

/// <summary>
/// One entry of the catalogue of everything the compiler can complain about.
/// Entries live in <c>Diagnostics/Catalogue</c>, one file per room, each room in its own range of numbers.
/// </summary>
/// <param name="Id">Stable identifier, "PC" and four digits; never reused for another meaning.</param>
/// <param name="Kind">Decides the exit code when the diagnostic is an error.</param>
/// <param name="Title">A few words that name the fault in general.</param>
/// <param name="Explanation">One paragraph: why it is a fault, what it would do to the exposure, how to fix it.</param>
public sealed record DiagnosticCode(string Id, DiagnosticKind Kind, string Title, string Explanation);

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
