namespace PatternCompiler.Oracles;

/// <summary>A test that reads YAML with PyYAML.</summary>
internal sealed class PyYamlFactAttribute : FactAttribute
{
    private static readonly string? Reason = OutsidePrograms.Missing("python3-yaml", OutsidePrograms.Python, "-c", "import yaml; yaml.CSafeLoader");

    public PyYamlFactAttribute() => Skip = Reason;
}
