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

    /// <summary>What leading jumps around brought.</summary>
    public static readonly DiagnosticCode HiddenTravel = new(
        "PC1303",
        DiagnosticKind.Input,
        "jumps led around",
        "With 'order.travel: hidden', jumps that would print a stray line are led over ground that the pattern exposes anyway, or along lanes "
        + "around the pattern, without settling on the way, and figures that touch are written one after the other. The search keeps bare ground "
        + "below four fifths of the onset, background included, also for a deflection 5% slower or faster than stated. Of the plans found the one "
        + "that prints least is taken, straight jumps among them; what prints around the pattern counts little.");

    /// <summary>A waiting place on the pattern.</summary>
    public static readonly DiagnosticCode ParkOnPattern = new(
        "PC1304",
        DiagnosticKind.Input,
        "beam waits on the pattern",
        "Without a blanker the beam exposes the place where it waits before and after writing. That place must lie outside the pattern, as far "
        + "as scattered electrons reach.");
}
