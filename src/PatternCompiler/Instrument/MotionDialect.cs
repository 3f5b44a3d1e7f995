namespace PatternCompiler.Instrument;

/// <summary>What the words of a motion program mean to a controller, as far as controllers differ. Without one the words are those of the published list.</summary>
public sealed record MotionDialect
{
    /// <summary>Volts of an output that one unit of X or Y stands for; 0 where a unit is a millimetre on the sample.</summary>
    public double VoltsPerUnit { get; init; }

    /// <summary>The controller keeps whole multiples of this; 0 where it keeps every dwell.</summary>
    public double DwellStepSeconds { get; init; }

    /// <summary>Which word says how long a dwell is.</summary>
    public DwellWord DwellWord { get; init; }

    /// <summary>The word that turns the beam on.</summary>
    public string BeamOn { get; init; } = "M3";

    /// <summary>The word that turns the beam off.</summary>
    public string BeamOff { get; init; } = "M5";
}

/// <summary>Customs for the length of a dwell.</summary>
public enum DwellWord
{
    /// <summary>P is seconds, as in the published list.</summary>
    SecondsP,

    /// <summary>P is milliseconds.</summary>
    MillisecondsP,

    /// <summary>S is seconds.</summary>
    SecondsS,
}
