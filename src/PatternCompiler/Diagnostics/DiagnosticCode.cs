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
