namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of wanted heights.</summary>
internal static class ReliefCodes
{
    /// <summary>A height above the film.</summary>
    public static readonly DiagnosticCode NoPartOfFilm = new(
        "PC1690",
        DiagnosticKind.Input,
        "height is no part of the film",
        "On a layer with 'values: heights' the number of a shape (its dose factor, elsewhere) is the part of the film that is to remain, "
        + "with 'values: depths' the part that is to go. Nothing is higher than the film or deeper.");

    /// <summary>A line or dot where heights are wanted.</summary>
    public static readonly DiagnosticCode NoArea = new(
        "PC1691",
        DiagnosticKind.Input,
        "only areas have heights",
        "The height of an area is that of its middle. Under a line without width or a dot the resist has no even height: it is a groove "
        + "or a pit as wide as the beam, whose depth follows from its line dose or charge.");

    /// <summary>Doses that miss wanted heights.</summary>
    public static readonly DiagnosticCode Missed = new(
        "PC1692",
        DiagnosticKind.Doubt,
        "heights missed",
        "Doses were corrected so that each area receives the energy which leaves its height, its neighbours' scattered electrons "
        + "included. Some cannot be reached: where neighbours alone give more than is wanted, where areas are narrower than the beam's "
        + "forward range in the resist, where the machine's shortest dwell is already too much, or where 'dose_classes' leaves too few doses "
        + "(a step between two classes is felt as the contrast times its logarithm). Heights are held to the forward energy of a large area, for "
        + "a border is blurred whatever the dose is; an area that stands alone and is not wider than two or three forward ranges is border "
        + "throughout, and a positive resist is left too high in it, a negative one too low. 'simulate' shows what will remain.");

    /// <summary>Heights without correction.</summary>
    public static readonly DiagnosticCode Uncorrected = new(
        "PC1693",
        DiagnosticKind.Doubt,
        "heights without proximity correction",
        "The response of a resist is that of large areas, which receive their neighbours' scattered electrons as well as their own. Near "
        + "the edge of the pattern, or next to areas of other doses, a place receives less or more: without a correction it is left too high or "
        + "too low, by up to the backscattered part of the energy.");

    /// <summary>A height of the layer and one of the shape.</summary>
    public static readonly DiagnosticCode TwoHeights = new(
        "PC1694",
        DiagnosticKind.Input,
        "a layer's height and a shape's",
        "'height' of a layer is for drawings whose shapes carry no numbers: it holds for all of them. A shape with a dose factor other "
        + "than 1 says something else, and it is not clear which is meant.");
}
