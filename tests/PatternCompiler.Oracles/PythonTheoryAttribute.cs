namespace PatternCompiler.Oracles;

/// <summary>A test with several rows that runs a Python program without other modules.</summary>
internal sealed class PythonTheoryAttribute : TheoryAttribute
{
    private static readonly string? Reason = OutsidePrograms.Missing("python3", OutsidePrograms.Python, "--version");

    public PythonTheoryAttribute() => Skip = Reason;
}
