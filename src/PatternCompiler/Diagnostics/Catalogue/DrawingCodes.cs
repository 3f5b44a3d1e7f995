namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of recognising what kind of drawing a file holds.</summary>
public static class DrawingCodes
{
    /// <summary>The file is empty.</summary>
    public static readonly DiagnosticCode Empty = new(
        "PC0701", DiagnosticKind.Input, "drawing is empty",
        "The file or stream holds no byte at all: the program that should have written it failed, or the wrong file was named.");

    /// <summary>The content is of no kind that is accepted.</summary>
    public static readonly DiagnosticCode Unknown = new(
        "PC0702", DiagnosticKind.Input, "not a drawing",
        "Drawings are recognised by their first bytes, never by the name of the file: a picture renamed to .dxf stays a picture.");
}
