namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of recognising what kind of drawing a file holds.</summary>
internal static class DrawingCodes
{
    /// <summary>The file is empty.</summary>
    public static readonly DiagnosticCode Empty = new(
        "PC0701", DiagnosticKind.Input, "drawing is empty",
        "The file or stream holds no byte at all: the program that should have written it failed, or the wrong file was named.");

    /// <summary>The content is of no kind that is accepted.</summary>
    public static readonly DiagnosticCode Unknown = new(
        "PC0702", DiagnosticKind.Input, "not a drawing",
        "Drawings are recognised by their first bytes, never by the name of the file: a picture renamed to .dxf stays a picture.");

    /// <summary>Outlines that wind around something twice.</summary>
    public static readonly DiagnosticCode SelfCrossing = new(
        "PC0791", DiagnosticKind.Remark, "outline winds around itself",
        "DXF, GDSII and OASIS do not say whether a part that an outline winds around twice is filled or empty. It is filled here (the nonzero rule); a program that takes "
        + "the even-odd rule leaves it empty. Of outlines that are neither rising and falling once nor running right and left once, the first two million points are looked at.");
}
