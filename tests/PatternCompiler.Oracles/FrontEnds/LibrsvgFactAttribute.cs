namespace PatternCompiler.Oracles.FrontEnds;

/// <summary>A test that draws with librsvg.</summary>
internal sealed class LibrsvgFactAttribute : FactAttribute
{
    private static readonly string? Reason = OutsidePrograms.Missing("librsvg2-bin", "rsvg-convert", "--version");

    public LibrsvgFactAttribute() => Skip = Reason;
}
