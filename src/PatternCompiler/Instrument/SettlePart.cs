namespace PatternCompiler.Instrument;

/// <summary>
/// One exponential of the response of an axis to a step: after a time t the step is done but for the sum of all parts, each times
/// exp(−t/τ) with its own τ. The parts of an axis add up to 1. Coils and amplifier make a large fast part, eddy currents small slow ones.
/// </summary>
/// <param name="Part">Of the step; negative where a slow part is made up for too much.</param>
/// <param name="TimeConstantSeconds">Its time constant τ.</param>
public readonly record struct SettlePart(double Part, double TimeConstantSeconds);

/// <summary>Loops around the field with the beam off, which bring magnetic parts of the deflection into the state that they keep while writing.</summary>
/// <param name="Count">How often the beam goes around.</param>
/// <param name="WidthNanometres">Of the rectangle about the middle of the field.</param>
/// <param name="HeightNanometres">As <paramref name="WidthNanometres"/>.</param>
public readonly record struct ConditioningLoops(int Count, double WidthNanometres, double HeightNanometres);
