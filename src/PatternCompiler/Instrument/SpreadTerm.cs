namespace PatternCompiler.Instrument;

/// <summary>One part of the deposited energy.</summary>
/// <param name="Shape">Radial form.</param>
/// <param name="RangeNanometres">a or g of the form.</param>
/// <param name="Ratio">Its energy over the energy of the first (forward) term, whose own ratio is 1.</param>
public readonly record struct SpreadTerm(SpreadShape Shape, double RangeNanometres, double Ratio);
