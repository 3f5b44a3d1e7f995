namespace PatternCompiler.Instrument;

/// <summary>A later reading of the beam current.</summary>
/// <param name="Seconds">Time since the start of writing, above zero.</param>
/// <param name="Amperes">Beam current.</param>
public sealed record CurrentReading(double Seconds, double Amperes);
