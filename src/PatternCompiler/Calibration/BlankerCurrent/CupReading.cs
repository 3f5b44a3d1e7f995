namespace PatternCompiler.Calibration.BlankerCurrent;

/// <summary>A mean current that a slow meter shows while the blank line is switched at an even rate.</summary>
/// <param name="OnMicroseconds">How long the line has the beam on in a period.</param>
/// <param name="OffMicroseconds">How long it has it off; 0 with the beam always on, and <paramref name="OnMicroseconds"/> 0 with it always off.</param>
/// <param name="Deflection">What the deflection does in a period.</param>
/// <param name="Picoamperes">Mean current.</param>
/// <param name="Row">Number of the measurement in its table, 0-based.</param>
internal readonly record struct CupReading(double OnMicroseconds, double OffMicroseconds, CupDeflection Deflection, double Picoamperes, int Row)
{
    /// <summary>The line does not switch.</summary>
    public bool IsSteady => OnMicroseconds == 0 || OffMicroseconds == 0;

    /// <summary>Time of a period.</summary>
    public double PeriodMicroseconds => OnMicroseconds + OffMicroseconds;

    /// <summary>Part of the time that the line has the beam on.</summary>
    public double Duty => OnMicroseconds / PeriodMicroseconds;
}

/// <summary>Where the deflection has the beam while the line is switched.</summary>
internal enum CupDeflection
{
    /// <summary>In the cup all the time.</summary>
    Held,

    /// <summary>In the cup while the line has the beam on; it leaves as the line turns the beam off.</summary>
    Leaves,

    /// <summary>Beside the cup while the line has the beam on; it enters as the line turns the beam off.</summary>
    Enters,
}
