using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Passes.Scale;

/// <summary>What scaling needs to know of a machine.</summary>
/// <param name="MachineName">Name for the records' header.</param>
/// <param name="Dac">The converters.</param>
/// <param name="Deflection">Field and calibration.</param>
/// <param name="Clock">Controller timing.</param>
/// <param name="Beam">Beam current; charge divided by it is dwell.</param>
/// <param name="Settle">Waiting after jumps.</param>
/// <param name="WritesMarkers">Put a marker record in front of each figure.</param>
internal sealed record ScaleOptions(
    string MachineName,
    Dac Dac,
    Deflection Deflection,
    Clock Clock,
    Beam Beam,
    SettleModel Settle,
    bool WritesMarkers)
{
    /// <summary>Blanker whose delays are compensated, or null to leave records as they are.</summary>
    public Blanker? Blanker { get; init; }

    /// <summary>Codes on either axis by which points may be moved to the end of a segment that the blanker is too slow for.</summary>
    public int BlankerReachCodes { get; init; } = int.MaxValue;

    /// <summary>Level of the blank line with the beam off, for the records' header.</summary>
    public BlankLevel BlankLevel { get; init; }

    /// <summary>The settings that the records are made for, for their header.</summary>
    public MadeFor MadeFor { get; init; }

    /// <summary>The trigger input, or null where there is none.</summary>
    public TriggerInput? Trigger { get; init; }

    /// <summary>Coarse and fine converters behind each output, or null for one converter.</summary>
    public CompositeDac? Composite { get; init; }
}
