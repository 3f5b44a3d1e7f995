namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of micrographs.</summary>
public static class MeasureCodes
{
    /// <summary>The file is no micrograph.</summary>
    public static readonly DiagnosticCode NoMicrograph = new(
        "PC4101", DiagnosticKind.Input, "not a micrograph",
        "A micrograph is a PNG or JPEG picture of 8 bits, a TIFF picture of 8 or 16 bits, or an array file (.npy) of two dimensions. A file that is damaged or cut short is never measured in part.");

    /// <summary>The micrograph is too large.</summary>
    public static readonly DiagnosticCode TooLarge = new(
        "PC4102", DiagnosticKind.Input, "micrograph too large",
        "Guards the memory: a micrograph has at most 64 million pixels, and its file at most 512 MiB.");
}
