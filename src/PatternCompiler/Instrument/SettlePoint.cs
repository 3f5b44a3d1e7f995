namespace PatternCompiler.Instrument;

/// <summary>One line of a measured settling table.</summary>
/// <param name="JumpNanometres">Length of the jump along its longer axis.</param>
/// <param name="Seconds">Wait that it needs.</param>
public readonly record struct SettlePoint(double JumpNanometres, double Seconds);
