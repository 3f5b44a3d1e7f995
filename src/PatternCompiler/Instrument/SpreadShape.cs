namespace PatternCompiler.Instrument;

/// <summary>Radial form of one part of the deposited energy.</summary>
public enum SpreadShape
{
    /// <summary>exp(−r²/a²)/(π·a²); a is the 1/e radius, √2 times the standard deviation.</summary>
    Gaussian,

    /// <summary>exp(−r/g)/(2π·g²).</summary>
    Exponential,
}
