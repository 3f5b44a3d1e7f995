namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of micrographs.</summary>
internal static class MeasureCodes
{
    /// <summary>The file is no micrograph.</summary>
    public static readonly DiagnosticCode NoMicrograph = new(
        "PC4101", DiagnosticKind.Input, "not a micrograph",
        "A micrograph is a PNG or JPEG picture of 8 bits, a TIFF picture of 8 or 16 bits, or an array file (.npy) of two dimensions. A file that is damaged or cut short is never measured in part.");

    /// <summary>The micrograph is too large.</summary>
    public static readonly DiagnosticCode TooLarge = new(
        "PC4102", DiagnosticKind.Input, "micrograph too large",
        "Guards the memory: a micrograph has at most 64 million pixels, and its file at most 512 MiB.");

    /// <summary>The picture does not show the drawing.</summary>
    public static readonly DiagnosticCode Unrelated = new(
        "PC4103", DiagnosticKind.Input, "micrograph shows something else",
        "A micrograph is compared with the drawing at every offset, at rotations of up to 10 degrees and, where the scale is fitted, at scales of up to a fifth from the stated one. Areas and outlines of the drawing must explain at least 30 % of its variance, and edges must be found along a quarter of what is drawn; where it explains less than 60 %, along four fifths, and not further off than a fifth of the search range (root mean square); else nothing is measured. Mirrored pictures and pictures turned by more are unrelated, too.");

    /// <summary>The picture fits in several places.</summary>
    public static readonly DiagnosticCode Ambiguous = new(
        "PC4104", DiagnosticKind.Input, "micrograph fits in several places",
        "The pattern repeats, and the picture fits in a second place at least 0.8 times as well as in the best one. Which of the two it shows cannot be told from it. Take a picture with a border, a label or a mark in it.");

    /// <summary>The place in the drawing cannot be searched for.</summary>
    public static readonly DiagnosticCode NotFound = new(
        "PC4105", DiagnosticKind.Input, "place in the drawing not found",
        "A picture is searched for in at most twelve times its own width of the drawing, nearly upright, and with pixels of nearly the stated size.");

    /// <summary>The picture is cut off at an end of its range.</summary>
    public static readonly DiagnosticCode Saturated = new(
        "PC4106", DiagnosticKind.Input, "micrograph saturated",
        "Where greys are cut off at black or white, an edge seems to lie elsewhere than it does. At most 5 % of the pixels may be at either end of the range.");

    /// <summary>There is nothing to be seen.</summary>
    public static readonly DiagnosticCode NothingSeen = new(
        "PC4107", DiagnosticKind.Input, "nothing to be seen in the micrograph",
        "Averaged over squares of a small part of the picture, its greys differ hardly more than its noise alone makes them differ; or it has fewer than 64 pixels along a side. Nothing can be found in it.");

    /// <summary>Edges are too blurred or too noisy.</summary>
    public static readonly DiagnosticCode Blurred = new(
        "PC4108", DiagnosticKind.Input, "micrograph too blurred or too noisy",
        "The width of an edge in the picture is too large for the lines and gaps that are drawn, or noise hides where edges lie. Focus, correct astigmatism, or average longer.");

    /// <summary>The size of a pixel is not known.</summary>
    public static readonly DiagnosticCode NoScale = new(
        "PC4109", DiagnosticKind.Input, "size of a pixel not known",
        "Lengths need a scale: from the option, from the resolution that a TIFF or PNG file states, or from the drawing itself, if it holds a pitch that tells it.");

    /// <summary>The stated size of a pixel disagrees with the drawing.</summary>
    public static readonly DiagnosticCode OtherScale = new(
        "PC4110", DiagnosticKind.Doubt, "size of a pixel disagrees with the drawing",
        "The picture would fit the drawing better with pixels of another size. Either the microscope's scale is off, and the drawing is the better ruler ('--fit similarity'); or the pattern was written too large or too small, which is what the measurement should show. All lengths are right only as far as the stated size is.");

    /// <summary>What was asked for is not in the picture.</summary>
    public static readonly DiagnosticCode NotInPicture = new(
        "PC4111", DiagnosticKind.Input, "nothing of this kind in the picture",
        "A table was asked for, and what it lists is not drawn where the picture was taken, or no edge of it was found.");

    /// <summary>The ends of lines do not show the blanker's delay.</summary>
    public static readonly DiagnosticCode NoTails = new(
        "PC4112", DiagnosticKind.Input, "ends of lines do not show the off-delay",
        "The deflection leaves the end of a line as soon as the blanker is told, unless the machine file states an off_delay: what comes after that lands where the next line begins. Written with an off_delay that is longer than the blanker takes, the beam waits at the end of each line until it is off, and how far the end runs on tells the delay.");
}
