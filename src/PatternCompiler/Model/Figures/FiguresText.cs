namespace PatternCompiler.Model.Figures;

/// <summary>Words of the text form of figures, shared by its writer and its reader. The form is specified in Model/Carriers/README.md.</summary>
internal static class FiguresText
{
    /// <summary>First line.</summary>
    public static ReadOnlySpan<byte> FirstLine => "figures 1"u8;

    /// <summary>The word that names the document.</summary>
    public static ReadOnlySpan<byte> Name => "figures"u8;

    /// <summary>Dose factors are written with up to this many decimals.</summary>
    public const int DoseDecimals = 6;

    /// <summary>Largest dose factor, in millionths.</summary>
    public const int LargestDose = 2_000_000_000;

    /// <summary>Largest grid step in picometres, 1 mm.</summary>
    public const long LargestGrid = 1_000_000_000;
}
