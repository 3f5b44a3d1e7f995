using PatternCompiler.Instrument;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Passes.Route;

/// <summary>How jumps are led so that the beam, which never is quite off, prints nothing on its way.</summary>
/// <param name="Scale">Converters, field, clock and settling: what decides how fast the beam passes where.</param>
/// <param name="StrayAmperes">Current that reaches the sample during jumps.</param>
/// <param name="Spread">Energy spread of the beam with its spot; the first term is a Gaussian.</param>
/// <param name="OnsetCoulombsPerSquareMetre">Dose of a large area at which the resist starts to react.</param>
/// <param name="MostCells">
/// Limit of the search for ways around, in cells looked at. A limit on work, not on time, so that the result is the same on
/// every machine.
/// </param>
internal sealed record RouteOptions(
    ScaleOptions Scale, double StrayAmperes, SpreadFunction Spread, double OnsetCoulombsPerSquareMetre, long MostCells = RouteOptions.DefaultCells)
{
    /// <summary>Some ten seconds of search for a plan.</summary>
    public const long DefaultCells = 8_000_000;
}
