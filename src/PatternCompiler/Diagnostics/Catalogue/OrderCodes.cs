namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Messages about the order of writing and its timing.</summary>
public static class OrderCodes
{
    /// <summary>Stretches below the blanker's speed.</summary>
    public static readonly DiagnosticCode BlankerTooSlow = new(
        "PC1302",
        DiagnosticKind.Input,
        "blanker too slow",
        "The blanker needs longer to turn the beam off than some stretches take altogether: they get more charge than "
        + "asked, however early the blanker is told.");
}
