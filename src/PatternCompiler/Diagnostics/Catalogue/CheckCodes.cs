namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults that the checkers between the stages find.</summary>
internal static class CheckCodes
{
    /// <summary>The pattern does not fit the field.</summary>
    public static readonly DiagnosticCode BeyondField = new(
        "PC1601",
        DiagnosticKind.Input,
        "pattern larger than the field",
        "A part of the pattern lies where the converters' voltage range does not reach. It is refused whole, before anything is written. Centre the pattern, enlarge the field (a lower magnification) in the machine file, or write it in several positions of the stage ('fields' in the job file).");

    /// <summary>A figure that breaks the rules of the document.</summary>
    public static readonly DiagnosticCode FigureInvalid = new(
        "PC1602",
        DiagnosticKind.Defect,
        "invalid figure between two stages",
        "A stage made a figure that breaks the rules of the figures document. This is a defect of the program; nothing was written. Please report it with the drawing.");

    /// <summary>A stroke that breaks the rules of the document.</summary>
    public static readonly DiagnosticCode StrokeInvalid = new(
        "PC1603",
        DiagnosticKind.Defect,
        "invalid stroke between two stages",
        "A stage made a stroke that breaks the rules of the strokes document: beam on before the first move, a charge below zero, a point count that does not fit. This is a defect of the program; nothing was written. Please report it with the drawing.");

    /// <summary>A record that breaks the rules of the document.</summary>
    public static readonly DiagnosticCode RecordInvalid = new(
        "PC1604",
        DiagnosticKind.Defect,
        "invalid record between two stages",
        "A stage made a record that breaks the rules of the records document: beam on before the first move, a code outside the converter, a dwell outside the controller's limits. This is a defect of the program; nothing was written. Please report it with the drawing.");

    /// <summary>Charge lost or gained between two stages.</summary>
    public static readonly DiagnosticCode ChargeDiffers = new(
        "PC1605",
        DiagnosticKind.Defect,
        "charge lost between two stages",
        "The charge that the figures ask for, the charge of the strokes and the charge of the records differ by more than rounding explains. This is a defect of the program; nothing was written. Please report it with the drawing.");

    /// <summary>A backscattered range that does not suit the energy and the substrate.</summary>
    public static readonly DiagnosticCode BackscatterImplausible = new(
        "PC1606",
        DiagnosticKind.Doubt,
        "implausible backscattered range",
        "Backscattered electrons come back from within their range in the substrate, R = 0.0276·A·E^1.67/(Z^0.89·ρ) in µm for keV and g/cm³ "
        + "(K. Kanaya and S. Okayama, J. Phys. D: Appl. Phys. 5, 43 (1972)). Backscattered ranges that were fitted to measurements lie near 0.43 R "
        + "at any energy, authors differing by 30 % and more. A value outside 0.25 R to 0.75 R is usually a slip of units (a standard deviation is "
        + "0.71 of a 1/e radius), another energy, or another substrate.");

    /// <summary>A forward range that does not suit the thickness and the energy.</summary>
    public static readonly DiagnosticCode ForwardImplausible = new(
        "PC1643",
        DiagnosticKind.Doubt,
        "implausible forward range",
        "A beam widens on its way through the resist, by an effective diameter of 0.9·(t/V)^1.5 in nm, t the thickness in nm and V the energy in kV "
        + "(M. A. McCord and M. J. Rooks, SPIE Handbook of Microlithography vol. 1, 1997, ch. 2, from memory). Its value is taken for the 1/e radius of the forward term, "
        + "which suits the published ranges of 0.5 µm of resist: 61 nm at 30 kV. The range also holds what else widens the beam in the resist, such as development, so that a measured one "
        + "may differ; less than half or more than twice is usually a slip of units, another thickness, or a range that was taken over from another film. "
        + "Where 'spread.forward' is left out, it follows from 'resist.thickness' and the beam energy.");

    /// <summary>A base dose that puts edges elsewhere.</summary>
    public static readonly DiagnosticCode BaseDoseMovesEdges = new(
        "PC1671",
        DiagnosticKind.Doubt,
        "base dose moves edges",
        "A large area clears at the clearing dose of its resist, but its edges receive half of the base dose only: electrons scatter out of it as far as in. "
        + "A positive resist is open where it is gone, a negative one stands where half of it remains; a base dose of twice the dose of that prints edges where they are drawn. "
        + "With less they land inside, with more outside. The warning tells how far, where that is more than a quarter of the forward 1/e radius with the spot. "
        + "Whoever wants another base dose can make up for it with 'bias' in the job, or have doses corrected: then edges are held to the dose that prints, whatever the base dose.");
}
