using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Prediction.Waveforms;

/// <summary>The lines of a controller over a window of time.</summary>
/// <param name="Header">Converters and clock.</param>
/// <param name="Columns">The course of each line.</param>
/// <param name="StartTick">Tick of the exposure at which the window begins.</param>
/// <param name="TotalTicks">Ticks of the whole exposure.</param>
/// <param name="FirstRecord">First record that takes time within the window, 0-based.</param>
/// <param name="LastRecord">Last one.</param>
/// <param name="Records">Records of the whole exposure.</param>
internal sealed record Waveforms(
    RecordsHeader Header, EnvelopeColumns Columns, long StartTick, long TotalTicks, long FirstRecord, long LastRecord, long Records)
{
    /// <summary>Line of the X output's codes.</summary>
    public const int X = 0;

    /// <summary>Line of the Y output's codes.</summary>
    public const int Y = 1;

    /// <summary>1 with the beam commanded on.</summary>
    public const int Beam = 2;

    /// <summary>Where the X output's beam is, in codes.</summary>
    public const int SettledX = 3;

    /// <summary>Where the Y output's beam is, in codes.</summary>
    public const int SettledY = 4;

    /// <summary>Part of the beam that comes through the blanker.</summary>
    public const int DelayedBeam = 5;

    /// <summary>Number of lines.</summary>
    public const int LineCount = 6;

    /// <summary>What was asked for.</summary>
    public required TraceWindow Window { get; init; }

    /// <summary>The machine says how its deflection settles.</summary>
    public required bool HasSettling { get; init; }

    /// <summary>The machine's blanker answers late.</summary>
    public required bool HasBeamDelay { get; init; }

    /// <summary>Level of the blank line with the beam off.</summary>
    public required BlankLevel BlankLevel { get; init; }

    /// <summary>Start of the window in seconds.</summary>
    public double StartSeconds => StartTick / Header.ClockHertz;

    /// <summary>End of the window in seconds.</summary>
    public double EndSeconds => (StartTick + Columns.Ticks) / Header.ClockHertz;

    /// <summary>The window reaches the end of the exposure, where scan-enable falls.</summary>
    public bool ReachesEnd => StartTick + Columns.Ticks == TotalTicks;
}
