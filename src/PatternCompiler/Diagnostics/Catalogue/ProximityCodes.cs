namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of the proximity correction.</summary>
internal static class ProximityCodes
{
    /// <summary>The spread's first term is of the wrong form.</summary>
    public static readonly DiagnosticCode ForwardNotGaussian = new(
        "PC1501",
        DiagnosticKind.Input,
        "forward term is not a Gaussian",
        "The first term of a spread function is the forward-scattered beam, a Gaussian; wider terms follow it.");

    /// <summary>The correction stopped short of its tolerance.</summary>
    public static readonly DiagnosticCode ToleranceNotMet = new(
        "PC1502",
        DiagnosticKind.Doubt,
        "proximity correction missed its tolerance",
        "Doses can only do so much: features thinner than the forward range blur into each other whatever their dose, and "
        + "few dose classes or large pieces leave steps. The report's histogram shows how many figures are off and by how much.");

    /// <summary>The map of the background is coarser than the tolerance allows.</summary>
    public static readonly DiagnosticCode BackgroundTooCoarse = new(
        "PC1551",
        DiagnosticKind.Doubt,
        "background computed too coarsely",
        "Energy that electrons carry far is summed on cells of an eighth of their range. A drawing of more than a few hundred ranges would "
        + "need too many of them, so they become larger, and the energy at edges less exact. Parts farther apart than a few ranges do not "
        + "expose each other and can be corrected alone.");
}
