namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of images that are to be written as patterns.</summary>
internal static class ImageCodes
{
    /// <summary>The size of a pixel is not stated.</summary>
    public static readonly DiagnosticCode NoPixelSize = new(
        "PC0601", DiagnosticKind.Input, "size of a pixel unknown",
        "A picture is written pixel by pixel once the size of a pixel is stated: it is the drawing unit. Without it a picture is most likely a drawing exported in the wrong format.");

    /// <summary>The image cannot be decoded.</summary>
    public static readonly DiagnosticCode Undecodable = new(
        "PC0602", DiagnosticKind.Input, "image cannot be decoded",
        "The file starts like a PNG picture, but its content is damaged or cut short. A picture is never written in part.");

    /// <summary>The image is too large.</summary>
    public static readonly DiagnosticCode TooLarge = new(
        "PC0603", DiagnosticKind.Input, "image too large",
        "Guards the memory: at most 64 million pixels, and at most ten million rectangles of one dose. Noise makes a rectangle of almost every pixel; fewer dose levels or a threshold make fewer of them.");

    /// <summary>An option does not fit.</summary>
    public static readonly DiagnosticCode BadOption = new(
        "PC0604", DiagnosticKind.Input, "option out of range",
        "A pixel is at least one grid step wide and the whole image fits the grid; the threshold lies above 0 and up to 1; there are 1 to 255 dose levels.");

    /// <summary>Note: what became of the image.</summary>
    public static readonly DiagnosticCode Size = new(
        "PC0605", DiagnosticKind.Remark, "size of the image",
        "What the image becomes on the sample, for comparison with what is meant: its size, its number of dose levels and of rectangles.");
}
