namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of figures, strokes and records documents as files and pipes carry them.</summary>
internal static class DocumentCodes
{
    /// <summary>An item is well formed, but the document must not hold it.</summary>
    public static readonly DiagnosticCode BreaksRules = new(
        "PC0890",
        DiagnosticKind.Input,
        "document breaks its rules",
        "The document can be read, but something in it would be unsafe or impossible to write: the beam on before the first " +
        "jump, a code beyond the converter, a dwell beyond the controller's limits, a charge below zero. Documents that the stages make never hold such an item.");

    /// <summary>The first bytes are not those of the wanted document.</summary>
    public static readonly DiagnosticCode NotThisDocument = new(
        "PC0801",
        DiagnosticKind.Input,
        "not the expected document",
        "Every document names itself in its first line or first bytes. A stage got something else: a drawing where it " +
        "expects figures, the output of a stage too early or too late in the chain, or nothing at all. Put the missing " +
        "stages between, or name the right file.");

    /// <summary>A version that this program does not know.</summary>
    public static readonly DiagnosticCode UnsupportedVersion = new(
        "PC0802",
        DiagnosticKind.Input,
        "unknown version of a document",
        "The document was written by another version of the program in a form that this one does not read. Guessing " +
        "could put the beam in the wrong place, so it is refused. Make the document again.");

    /// <summary>A line that does not follow the document's grammar.</summary>
    public static readonly DiagnosticCode Malformed = new(
        "PC0803",
        DiagnosticKind.Input,
        "malformed line in a document",
        "A line of a text document has a missing, extra or unreadable field. The message names the column and what " +
        "belongs there.");

    /// <summary>A value outside what the document allows.</summary>
    public static readonly DiagnosticCode OutOfRange = new(
        "PC0804",
        DiagnosticKind.Input,
        "value out of range in a document",
        "A value can be read but makes no sense: a layer that was not declared, a code beyond the converter's bits, a " +
        "negative charge, a trapezoid whose sides cross. The stages after it rely on these rules, so the document is " +
        "refused.");

    /// <summary>The document stops before its end mark.</summary>
    public static readonly DiagnosticCode Truncated = new(
        "PC0805",
        DiagnosticKind.Input,
        "document cut short",
        "Every document ends with a mark that states its totals. Without it the rest of the pattern is missing: the " +
        "stage before failed, a disk was full, or a copy stopped. A part of a pattern is never passed on as the whole.");

    /// <summary>A checksum does not match.</summary>
    public static readonly DiagnosticCode Corrupt = new(
        "PC0806",
        DiagnosticKind.Input,
        "damaged document",
        "The binary form carries a checksum for every frame. It does not match here, or the content is not what any " +
        "writer makes: bytes were changed on the way. Make the document again.");

    /// <summary>The totals of the end mark differ from what was read.</summary>
    public static readonly DiagnosticCode TotalsDiffer = new(
        "PC0807",
        DiagnosticKind.Input,
        "totals do not match",
        "The end mark states how much the document holds, and something else was read: lines were lost, doubled or " +
        "edited. After a deliberate edit, correct the numbers in the end line to those that the message gives.");

    /// <summary>Something follows the end mark.</summary>
    public static readonly DiagnosticCode AfterEnd = new(
        "PC0808",
        DiagnosticKind.Input,
        "content after the end of a document",
        "Two documents were joined, or a document was written over a longer one. Only one document is read at a time.");

    /// <summary>Two layers share a name.</summary>
    public static readonly DiagnosticCode LayerNamedTwice = new(
        "PC0809",
        DiagnosticKind.Doubt,
        "layer named twice",
        "Figures refer to layers by their place in the list, so the document works, but two layers of one name cannot " +
        "be told apart by options that choose layers by name.");

    /// <summary>Dwells beyond the limits that the document itself states.</summary>
    public static readonly DiagnosticCode DwellOutsideLimits = new(
        "PC0810",
        DiagnosticKind.Doubt,
        "dwell outside the controller's limits",
        "The header of a records document states the shortest and the longest dwell of one point that the controller " +
        "keeps. Records outside them come from an edited document or another machine; the controller may cut or " +
        "stretch them and change the dose.");

    /// <summary>Bytes that are no text.</summary>
    public static readonly DiagnosticCode NotUtf8 = new(
        "PC0855",
        DiagnosticKind.Input,
        "text is not UTF-8",
        "Documents, settings and tables are UTF-8 text. The byte named belongs to no UTF-8 character: the file was saved " +
        "in another encoding, was damaged on its way, or is no text at all. Save it as UTF-8; nothing is guessed, because " +
        "a name read wrongly is another name.");
}
