namespace PatternCompiler.Oracles.BackEnds;

/// <summary>A test that reads value change dumps with a program of GTKWave.</summary>
internal sealed class GtkWaveFactAttribute : FactAttribute
{
    private static readonly string? Reason = OutsidePrograms.Missing("vcd2fst", "vcd2fst", "--help");

    public GtkWaveFactAttribute() => Skip = Reason;
}
