namespace PatternCompiler.VirtualLab.Truth;

/// <summary>
/// Everything that is so in a lab, drawn from a seed. A test of a closed loop hands it to the lab alone and looks at it only for the
/// verdict.
/// </summary>
public sealed record LabTruth(
    long Seed,
    ResistTruth Resist,
    ColumnTruth Column,
    ConverterTruth ConverterX,
    ConverterTruth ConverterY,
    FieldTruth Field,
    BlankerTruth Blanker,
    StageTruth Stage,
    MicroscopeTruth Microscope)
{
    /// <summary>Behind the converter of x.</summary>
    public AmplifierTruth AmplifierX { get; init; } = AmplifierTruth.Ideal;

    /// <summary>Behind the converter of y.</summary>
    public AmplifierTruth AmplifierY { get; init; } = AmplifierTruth.Ideal;

    /// <summary>How the scan moves along x, in place of the field's one time constant; null where that holds.</summary>
    public ScanTruth? ScanX { get; init; }

    /// <summary>The same along y; both are there or none.</summary>
    public ScanTruth? ScanY { get; init; }

    /// <summary>
    /// The microscope as it sees marks of the layer below, which are metal by now: brighter than the ground, without the crest of a film's edge; and
    /// the beam reaches them as wide as the resist above has made it.
    /// </summary>
    public MicroscopeTruth UnderResist()
    {
        double forward = Resist.Spread[0].RangeNanometres / Math.Sqrt(2), spot = Column.SpotNanometres / 2.3548;
        return Microscope with
        {
            SubstrateSignal = Microscope.SubstrateSignal + new Dice(Seed, "metal").Between(0.15, 0.4),
            ResistSignal = Microscope.SubstrateSignal,
            EdgeSignal = 0,
            BlurNanometres = Math.Sqrt((forward * forward) + (spot * spot)),
        };
    }

    /// <summary>Draws a lab. Each part has dice of its own.</summary>
    public static LabTruth Draw(long seed, LabSetup setup) => new(
        seed,
        ResistTruth.Draw(setup, new Dice(seed, "resist")),
        ColumnTruth.Draw(setup, new Dice(seed, "column")),
        ConverterTruth.Draw(setup, new Dice(seed, "converter x")),
        ConverterTruth.Draw(setup, new Dice(seed, "converter y")),
        FieldTruth.Draw(setup, new Dice(seed, "field")),
        BlankerTruth.Draw(setup, new Dice(seed, "blanker")),
        StageTruth.Draw(setup, new Dice(seed, "stage")),
        MicroscopeTruth.Draw(new Dice(seed, "microscope")))
    {
        AmplifierX = AmplifierTruth.Draw(setup, new Dice(seed, "amplifier x")),
        AmplifierY = AmplifierTruth.Draw(setup, new Dice(seed, "amplifier y")),
        ScanX = setup.Faults.HasFlag(LabFaults.Scan) ? ScanTruth.Draw(new Dice(seed, "scan x")) : null,
        ScanY = setup.Faults.HasFlag(LabFaults.Scan) ? ScanTruth.Draw(new Dice(seed, "scan y")) : null,
    };
}
