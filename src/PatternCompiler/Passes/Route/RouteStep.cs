namespace PatternCompiler.Passes.Route;

/// <summary>One move on a way with the beam off.</summary>
/// <param name="X">Where the beam is sent, in nanometres.</param>
/// <param name="Y">As <paramref name="X"/>.</param>
/// <param name="IsPassed">It goes on at speed; otherwise it settles there.</param>
internal readonly record struct RouteStep(double X, double Y, bool IsPassed);
