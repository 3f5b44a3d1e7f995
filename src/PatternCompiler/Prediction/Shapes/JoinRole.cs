namespace PatternCompiler.Prediction.Shapes;

/// <summary>
/// One of the four ways in which regions of one pattern (the carrier) can join regions of the other that are apart: by
/// printed areas (shorts), printed gaps (cuts), drawn areas (opens: they join what prints apart) and drawn gaps (bridges).
/// </summary>
/// <param name="Kind">What it is a fault of.</param>
/// <param name="IsArea">Areas join areas; otherwise gaps join gaps.</param>
/// <param name="IsByPrinted">The printed pattern joins what is drawn apart; otherwise the other way round.</param>
internal readonly record struct JoinRole(ShapeFaultKind Kind, bool IsArea, bool IsByPrinted)
{
    public static JoinRole[] All { get; } =
    [
        new(ShapeFaultKind.Shorted, true, true),
        new(ShapeFaultKind.Open, true, false),
        new(ShapeFaultKind.Bridge, false, false),
        new(ShapeFaultKind.Cut, false, true),
    ];

    /// <summary>The region that joins.</summary>
    public Region CarrierOf(in RowStretch stretch) => IsByPrinted ? stretch.Printed : stretch.Drawn;

    /// <summary>The region of the other pattern, which may be joined.</summary>
    public Region OtherOf(in RowStretch stretch) => IsByPrinted ? stretch.Drawn : stretch.Printed;
}
