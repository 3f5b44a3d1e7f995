namespace PatternCompiler.Jobs;

/// <summary>Forms in which records leave the compiler.</summary>
public enum OutputFormat
{
    /// <summary>The framed binary stream.</summary>
    Stream,

    /// <summary>Bare binary words.</summary>
    Words,

    /// <summary>Text records.</summary>
    Records,

    /// <summary>Voltages as comma-separated values.</summary>
    Volts,

    /// <summary>A sound file of three channels: x, y and blank.</summary>
    Wave,

    /// <summary>An array file for numerical programs, a row for each point.</summary>
    Array,

    /// <summary>A motion program in standard words.</summary>
    Motion,
}
