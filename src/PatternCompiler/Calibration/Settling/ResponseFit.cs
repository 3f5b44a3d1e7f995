using System.Collections.Immutable;
using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.Settling;

/// <summary>The response of an axis as a sum of exponentials, and its hysteresis.</summary>
/// <param name="Axis">x or y; a blank for both alike.</param>
/// <param name="TimeConstants">In microseconds, the fastest first.</param>
/// <param name="SlowPart">Part of a step that settles with the last of two; null for one alone.</param>
/// <param name="Hysteresis">In nanometres; null where no dots were approached from both sides.</param>
internal sealed record ResponseFit(char Axis, ImmutableArray<FitParameter> TimeConstants, FitParameter? SlowPart, FitParameter? Hysteresis)
{
    /// <summary>Root mean square of measured minus fitted displacements, in nanometres.</summary>
    public double RootMeanSquareNanometres { get; init; }

    /// <summary>Measurements beyond what the model needs.</summary>
    public int DegreesOfFreedom { get; init; }

    /// <summary>Why no second exponential is told; null where it is.</summary>
    public string? OneAlone { get; init; }

    /// <summary>The fast part was gone before the first wait: its time constant is the longest that it may have.</summary>
    public bool IsFastUnseen { get; init; }

    /// <summary>Parts as the machine file takes them.</summary>
    public ImmutableArray<SettlePart> Parts => SlowPart is null
        ? [new SettlePart(1, TimeConstants[0].Value * 1e-6)]
        : [new SettlePart(1 - SlowPart.Value, TimeConstants[0].Value * 1e-6), new SettlePart(SlowPart.Value, TimeConstants[1].Value * 1e-6)];

    /// <summary>Part of a jump that is left after a wait in microseconds.</summary>
    public double Left(double wait) => Parts.Sum(part => part.Part * Math.Exp(-wait * 1e-6 / part.TimeConstantSeconds));

    /// <summary>Wait in microseconds after which no more than a displacement is left of a jump from rest, both in nanometres.</summary>
    public double WaitFor(double jump, double left)
    {
        AxisMotion motion = AxisMotion.AlongX(new SettleModel(0, 0, 0) { ResponseX = Parts });
        motion.Send(jump);
        return 1e6 * motion.SecondsUntil(left);
    }
}
