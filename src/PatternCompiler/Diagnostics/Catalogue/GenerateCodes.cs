namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults in what a test pattern is asked to be.</summary>
internal static class GenerateCodes
{
    /// <summary>No pattern of that name.</summary>
    public static readonly DiagnosticCode UnknownPattern = new(
        "PC5001", DiagnosticKind.Usage, "unknown test pattern", "The list of test patterns is printed by 'patternc generate' alone.");

    /// <summary>No parameter of that name.</summary>
    public static readonly DiagnosticCode UnknownParameter = new(
        "PC5002", DiagnosticKind.Usage, "unknown parameter", "Each test pattern has its own parameters; its guide lists them with their defaults.");

    /// <summary>A parameter's value cannot be used.</summary>
    public static readonly DiagnosticCode BadValue = new(
        "PC5003", DiagnosticKind.Usage, "parameter out of range", "Lengths take a unit and are above zero, counts are whole numbers, dose factors are above zero.");

    /// <summary>The parameters contradict each other.</summary>
    public static readonly DiagnosticCode Contradiction = new(
        "PC5004", DiagnosticKind.Usage, "parameters contradict each other", "For example lines wider than their pitch, or a last dose below the first.");

    /// <summary>Holds for a meter on a machine whose beam is always on.</summary>
    public static readonly DiagnosticCode HoldsExpose = new(
        "PC5005", DiagnosticKind.Doubt, "holds for a meter expose", "Records for a voltmeter hold both outputs for seconds. On a machine without a blanker the beam exposes what it stands on for all that time, so it must be off by other means.");

    /// <summary>A machine whose outputs may hardly move.</summary>
    public static readonly DiagnosticCode TooFewCodes = new(
        "PC5006", DiagnosticKind.Input, "too few usable codes", "Streams that bring a writer up move both outputs over the codes that the machine file calls usable. With very few of them there is nothing to see on a scope.");
}
