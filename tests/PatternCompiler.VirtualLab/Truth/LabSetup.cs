namespace PatternCompiler.VirtualLab.Truth;

/// <summary>Which hidden faults a lab may have. What is not named is ideal.</summary>
[Flags]
public enum LabFaults
{
    None = 0,

    /// <summary>The field's gain, rotation and skew are not those that were measured once.</summary>
    Field = 1,

    /// <summary>The field is bent, growing with the cube of the distance.</summary>
    Distortion = 2,

    /// <summary>A voltage on one axis moves the beam along the other.</summary>
    Crosstalk = 4,

    /// <summary>The converters' steps differ at large carries.</summary>
    Converters = 8,

    /// <summary>The blanker answers late, rises and falls.</summary>
    Blanker = 16,

    /// <summary>The deflection settles with a time constant.</summary>
    Settling = 32,

    /// <summary>Mains hum and slow drift move the beam.</summary>
    Hum = 64,

    /// <summary>The current falls while the beam writes.</summary>
    Decay = 128,

    /// <summary>The stage is turned and has backlash.</summary>
    Stage = 256,

    /// <summary>Development moves edges sideways.</summary>
    Lateral = 512,

    All = 1023,

    /// <summary>
    /// The amplifiers behind the converters have gain, offset, a bend, ends and crosstalk of their own. Not among all: who writes beyond
    /// what an amplifier follows writes on one spot, so that these are read first.
    /// </summary>
    Amplifiers = 1024,

    /// <summary>The scan settles with two time constants and has the play of a magnet. Not among all: nothing lies where it should before both are known.</summary>
    Scan = 2048,
}

/// <summary>What is known of a lab before anything is measured: the truth is drawn around it.</summary>
public sealed record LabSetup
{
    /// <summary>Field at the magnification used for writing, over the whole range of the converters.</summary>
    public double FieldNanometres { get; init; } = 100_000;

    /// <summary>Range of the converters.</summary>
    public double RangeVolts { get; init; } = 20;

    /// <summary>The microscope scans towards smaller x with rising voltage.</summary>
    public bool InvertX { get; init; }

    /// <summary>The microscope scans downwards with rising voltage.</summary>
    public bool InvertY { get; init; } = true;

    /// <summary>Current that a meter showed.</summary>
    public double CurrentPicoamperes { get; init; } = 200;

    /// <summary>Spot, full width at half maximum, about which the true one is drawn.</summary>
    public double SpotNanometres { get; init; } = 20;

    /// <summary>True for a resist that stays where it is exposed.</summary>
    public bool IsNegative { get; init; }

    /// <summary>Thickness of the film, about which the true one is drawn.</summary>
    public double ThicknessNanometres { get; init; } = 200;

    /// <summary>Clearing dose (negative: the dose that keeps the whole film), drawn between half and twice it.</summary>
    public double ClearingMicrocoulombs { get; init; } = 250;

    /// <summary>Forward range in the resist without the spot, about which the true one is drawn.</summary>
    public double ForwardNanometres { get; init; } = 59;

    /// <summary>Backscattered range, likewise.</summary>
    public double BackscatterNanometres { get; init; } = 4000;

    /// <summary>Ratio of energies, likewise.</summary>
    public double BackscatterRatio { get; init; } = 0.74;

    /// <summary>How much slower than usual the blanker is.</summary>
    public double BlankerSlowness { get; init; } = 1;

    /// <summary>Hidden faults that are drawn; the others are ideal.</summary>
    public LabFaults Faults { get; init; } = LabFaults.All;
}
