namespace PatternCompiler.Oracles.BackEnds;

/// <summary>A test that opens sound files with SoX.</summary>
internal sealed class SoxFactAttribute : FactAttribute
{
    private static readonly string? Reason = OutsidePrograms.Missing("sox", "sox", "--version");

    public SoxFactAttribute() => Skip = Reason;
}
