namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults that the checkers between the stages find.</summary>
public static class CheckCodes
{
    /// <summary>The pattern does not fit the field.</summary>
    public static readonly DiagnosticCode BeyondField = new(
        "PC1601",
        DiagnosticKind.Input,
        "pattern larger than the field",
        "A part of the pattern lies where the converters' voltage range does not reach. It is refused whole, before anything is written. Centre the pattern, enlarge the field (a lower magnification) in the machine file, or divide the drawing.");

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
}
