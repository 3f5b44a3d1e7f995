namespace PatternCompiler.Oracles;

/// <summary>A test that calculates or reads with NumPy.</summary>
internal sealed class NumPyFactAttribute : FactAttribute
{
    private static readonly string? Reason = OutsidePrograms.Missing("python3-numpy", OutsidePrograms.Python, "-c", "import numpy");

    public NumPyFactAttribute() => Skip = Reason;
}
