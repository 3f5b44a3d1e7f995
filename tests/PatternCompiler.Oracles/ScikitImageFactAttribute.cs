namespace PatternCompiler.Oracles;

/// <summary>A test that makes and measures pictures with scikit-image and SciPy.</summary>
internal sealed class ScikitImageFactAttribute : FactAttribute
{
    private static readonly string? Reason = OutsidePrograms.Missing("python3-skimage or python3-scipy", OutsidePrograms.Python, "-c", "import skimage, scipy");

    public ScikitImageFactAttribute() => Skip = Reason;
}
