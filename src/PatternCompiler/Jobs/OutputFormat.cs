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
}
