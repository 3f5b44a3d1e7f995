namespace PatternCompiler.Oracles.FrontEnds;

/// <summary>A test that asks a browser.</summary>
internal sealed class ChromiumFactAttribute : FactAttribute
{
    private static readonly string? Reason = OutsidePrograms.Missing("chromium", "chromium", "--version");

    public ChromiumFactAttribute() => Skip = Reason;
}
