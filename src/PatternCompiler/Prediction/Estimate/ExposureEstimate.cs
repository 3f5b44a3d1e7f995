using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>What a records document will do on a machine, before the beam is on.</summary>
public sealed record ExposureEstimate
{
    /// <summary>Name of the machine.</summary>
    public required string MachineName { get; init; }

    /// <summary>Number of records.</summary>
    public required long Records { get; init; }

    /// <summary>Jumps among them.</summary>
    public required long Jumps { get; init; }

    /// <summary>Exposed lines.</summary>
    public required long Lines { get; init; }

    /// <summary>Exposed points of lines and dots.</summary>
    public required long Points { get; init; }

    /// <summary>Time with the beam on.</summary>
    public required double ExposingSeconds { get; init; }

    /// <summary>Time of jumps with their settling.</summary>
    public required double SettlingSeconds { get; init; }

    /// <summary>Time of waits.</summary>
    public required double WaitingSeconds { get; init; }

    /// <summary>Waits for the trigger input; null where there are none.</summary>
    public TriggerEstimate? Triggers { get; init; }

    /// <summary>Bytes of the exposure stream with every line written out point by point.</summary>
    public required long PointStreamBytes { get; init; }

    /// <summary>Bytes of the exposure stream for a controller that interpolates lines.</summary>
    public required long LineStreamBytes { get; init; }

    /// <summary>Nanometres on the sample from code to code along x.</summary>
    public required double StepXNanometres { get; init; }

    /// <summary>Nanometres on the sample from code to code along y.</summary>
    public required double StepYNanometres { get; init; }

    /// <summary>Spot size, full width at half maximum.</summary>
    public required double SpotNanometres { get; init; }

    /// <summary>Full width at half maximum of the beam in the resist: spot and forward scattering; the spot where scattering is unknown.</summary>
    public required double BlurNanometres { get; init; }

    /// <summary>Spacing and ripple along x.</summary>
    public required SpacingEstimate SpacingX { get; init; }

    /// <summary>Spacing and ripple along y.</summary>
    public required SpacingEstimate SpacingY { get; init; }

    /// <summary>Ticks per second.</summary>
    public required double ClockHertz { get; init; }

    /// <summary>Shortest dwell that the controller makes.</summary>
    public required long MinimumDwellTicks { get; init; }

    /// <summary>Longest dwell that the controller makes.</summary>
    public required long MaximumDwellTicks { get; init; }

    /// <summary>Shortest dwell of any point; 0 if nothing is exposed.</summary>
    public required long ShortestDwellTicks { get; init; }

    /// <summary>Longest dwell of any point.</summary>
    public required long LongestDwellTicks { get; init; }

    /// <summary>The link.</summary>
    public required LinkEstimate Link { get; init; }

    /// <summary>True if the controller is taken to interpolate lines; decides what the link must carry.</summary>
    public required bool InterpolatesLines { get; init; }

    /// <summary>Charge of everything exposed.</summary>
    public required double ChargeCoulombs { get; init; }

    /// <summary>Electrons of everything exposed.</summary>
    public required double Electrons { get; init; }

    /// <summary>Electrons of the figure that gets fewest (of the segment between two jumps where records carry no markers); 0 if nothing is exposed.</summary>
    public required double FewestElectrons { get; init; }

    /// <summary>Number of that figure, or −1 where records carry no markers.</summary>
    public required long FewestElectronsFigure { get; init; }

    /// <summary>Its write field; null where everything is written from one position.</summary>
    public string? FewestElectronsField { get; init; }

    /// <summary>A point of it in nanometres, in its write field.</summary>
    public (double X, double Y) FewestElectronsAt { get; init; }

    /// <summary>Use of the field.</summary>
    public required FieldEstimate Field { get; init; }

    /// <summary>Jumps that would print a line; null if no resist was given.</summary>
    public StrayReport? Strays { get; init; }

    /// <summary>What straight jumps in the order asked for would print, if jumps are led around; otherwise null.</summary>
    public StrayReport? StraysIfStraight { get; init; }

    /// <summary>Charge asked for and delivered, figure by figure; null if it was not compared.</summary>
    public FigureChargeEstimate? FigureCharge { get; init; }

    /// <summary>What filling decided; empty if the document was filled already.</summary>
    public FillReport Fill { get; init; } = FillReport.Empty;

    /// <summary>Moves of the stage between write fields; null where there is one field.</summary>
    public StageEstimate? Stage { get; init; }

    /// <summary>Doubts about the exposure.</summary>
    public ImmutableArray<Diagnostic> Warnings { get; init; } = [];

    /// <summary>Time of the whole write, waits for the trigger as expected, stalls of the link and moves of the stage included.</summary>
    public double TotalSeconds => ExposingSeconds + SettlingSeconds + WaitingSeconds + (Triggers?.ExpectedSeconds ?? 0) + Link.StallSeconds + (Stage?.MoveSeconds ?? 0);

    /// <summary>Bytes that the machine's link carries.</summary>
    public long StreamBytes => InterpolatesLines ? LineStreamBytes : PointStreamBytes;

    /// <summary>
    /// Standard deviation of a position that falls anywhere between codes: step/√12 (W. R. Bennett, Bell Syst. Tech. J.
    /// 27, 446 (1948)); half a step at worst.
    /// </summary>
    public double PositionDeviationNanometres => Math.Max(StepXNanometres, StepYNanometres) / Math.Sqrt(12);

    /// <summary>Largest part by which half a tick changes a point's dose.</summary>
    public double DwellRounding => ShortestDwellTicks > 0 ? 0.5 / ShortestDwellTicks : 0;

    /// <summary>Relative standard deviation of the charge of the figure that gets fewest electrons (Poisson): 1/√N.</summary>
    public double ShotNoise => FewestElectrons > 0 ? 1 / Math.Sqrt(FewestElectrons) : 0;
}

/// <summary>Use of the deflection range.</summary>
/// <param name="UsedX">Part of the X codes between the lowest and highest one used, 0 to 1.</param>
/// <param name="UsedY">Part of the Y codes.</param>
/// <param name="MarginCodes">Codes left between the pattern and the nearest end of either range.</param>
/// <param name="LeftNanometres">Extent on the sample of everything exposed.</param>
/// <param name="BottomNanometres">Extent on the sample.</param>
/// <param name="RightNanometres">Extent on the sample.</param>
/// <param name="TopNanometres">Extent on the sample.</param>
public readonly record struct FieldEstimate(
    double UsedX,
    double UsedY,
    long MarginCodes,
    double LeftNanometres,
    double BottomNanometres,
    double RightNanometres,
    double TopNanometres);

/// <summary>What the stage adds to an exposure in several write fields.</summary>
/// <param name="Fields">Number of write fields.</param>
/// <param name="MoveSeconds">Time of all moves between them.</param>
public sealed record StageEstimate(int Fields, double MoveSeconds)
{
    /// <summary>Lowest and highest reading that it goes to, in nanometres; null where readings are the pattern's places, but for origin and sense.</summary>
    public StageExtent? Readings { get; init; }
}

/// <summary>Readings of the stage, in nanometres, the beginnings of ways round among them.</summary>
public sealed record StageExtent(double LowestX, double HighestX, double LowestY, double HighestY)
{
    /// <summary>The same with one more reading.</summary>
    internal static StageExtent With(StageExtent? extent, (double X, double Y) reading) => extent is null
        ? new(reading.X, reading.X, reading.Y, reading.Y)
        : new(Math.Min(extent.LowestX, reading.X), Math.Max(extent.HighestX, reading.X), Math.Min(extent.LowestY, reading.Y), Math.Max(extent.HighestY, reading.Y));
}
