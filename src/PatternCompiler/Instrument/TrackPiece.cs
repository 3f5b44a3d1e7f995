namespace PatternCompiler.Instrument;

/// <summary>A short piece of the way that the beam takes when the deflection moves.</summary>
/// <param name="X">Mean place in time, in nanometres.</param>
/// <param name="Y">As <paramref name="X"/>.</param>
/// <param name="From">When it begins, in seconds since the deflection was commanded.</param>
/// <param name="Seconds">How long the beam takes over it.</param>
/// <param name="LengthNanometres">Its length; 0 where the beam rests.</param>
internal readonly record struct TrackPiece(double X, double Y, double From, double Seconds, double LengthNanometres);
