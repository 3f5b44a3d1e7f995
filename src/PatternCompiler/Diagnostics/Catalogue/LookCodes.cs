namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults and notes of looks at marks of the layer below.</summary>
internal static class LookCodes
{
    /// <summary>What a look does.</summary>
    public static readonly DiagnosticCode Planned = new(
        "PC1801",
        DiagnosticKind.Remark,
        "look at marks planned",
        "A look scans a small window around each mark with the beam on, and nothing else. The dose that it brings is current, times dwell, divided by the square of the step. The resist gets it once a look.");

    /// <summary>A window over what is written.</summary>
    public static readonly DiagnosticCode TouchesWritten = new(
        "PC1802",
        DiagnosticKind.Input,
        "look would expose the device",
        "A window, grown by as much as the layer may lie off ('within'), meets an area, line or dot that this job or the layer below writes. The beam of the look would expose it. Areas are compared exactly.");

    /// <summary>A look that exposes the resist.</summary>
    public static readonly DiagnosticCode NearOnset = new(
        "PC1803",
        DiagnosticKind.Input,
        "look would expose the resist",
        "All looks together bring more than half of the dose from which the resist begins to change: a window would print, and the mark could hardly be used again.");

    /// <summary>A window without its mark.</summary>
    public static readonly DiagnosticCode NoMark = new(
        "PC1804",
        DiagnosticKind.Input,
        "no mark in a window",
        "The window of a look holds a whole cross of the marks' layer, twelve corners that are the same after a quarter turn, wherever it lies within the reach that 'within' states.");

    /// <summary>A table that does not go with the look.</summary>
    public static readonly DiagnosticCode SampleCount = new(
        "PC1805",
        DiagnosticKind.Input,
        "samples and points are not as many",
        "Samples of the detector are paired with the points of a look in order, one each, while the scan-enable line is up. A sample too many or too few would shift all that follow, so nothing is measured.");

    /// <summary>A mark that was looked for in vain.</summary>
    public static readonly DiagnosticCode NotFound = new(
        "PC1806",
        DiagnosticKind.Doubt,
        "mark not found in its window",
        "The picture of a window shows no such mark, or not well enough; the reason is that of 'measure'. The table leaves its place empty, and the alignment is fitted to the others.");

    /// <summary>Points that records do not keep.</summary>
    public static readonly DiagnosticCode PointsMerged = new(
        "PC1807",
        DiagnosticKind.Input,
        "look too fast for the blanker",
        "To make up for the blanker's delays, points at the end of a row are merged where they are shorter than the delay; a detector would then give fewer samples than the picture has points.");
}
