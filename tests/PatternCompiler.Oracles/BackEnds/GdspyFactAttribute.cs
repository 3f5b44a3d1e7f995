namespace PatternCompiler.Oracles.BackEnds;

/// <summary>A test that reads streams with gdspy.</summary>
internal sealed class GdspyFactAttribute : FactAttribute
{
    private static readonly string? Reason = OutsidePrograms.Missing("python3-gdspy", OutsidePrograms.Python, "-c", "import gdspy");

    public GdspyFactAttribute() => Skip = Reason;
}
