namespace PatternCompiler.Units;

/// <summary>What a quantity measures.</summary>
internal enum Dimension
{
    /// <summary>A plain number or a percentage.</summary>
    Fraction,

    /// <summary>Voltage.</summary>
    Voltage,

    /// <summary>Length on the sample or in the drawing.</summary>
    Length,

    /// <summary>Time.</summary>
    Time,

    /// <summary>Frequency.</summary>
    Frequency,

    /// <summary>Electric current.</summary>
    Current,

    /// <summary>Electric charge, the dose of a dot.</summary>
    Charge,

    /// <summary>Charge per area.</summary>
    AreaDose,

    /// <summary>Charge per length.</summary>
    LineDose,

    /// <summary>Beam energy; the accelerating voltage is accepted for it.</summary>
    Energy,

    /// <summary>Bytes per time.</summary>
    DataRate,

    /// <summary>Bytes.</summary>
    DataSize,

    /// <summary>Length per time.</summary>
    Speed,

    /// <summary>Angle.</summary>
    Angle,

    /// <summary>A count of DAC codes.</summary>
    Codes,

    /// <summary>A count of controller clock ticks.</summary>
    Ticks,
}
