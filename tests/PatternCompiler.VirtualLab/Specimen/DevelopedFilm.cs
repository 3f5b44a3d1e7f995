using PatternCompiler.VirtualLab.Truth;

namespace PatternCompiler.VirtualLab.Specimen;

/// <summary>What development has left of a part of the resist.</summary>
public sealed class DevelopedFilm(SampleGrid energy, ResistTruth resist)
{
    public ResistTruth Resist => resist;

    /// <summary>Part of the film's thickness that is left at a place, the sideways move of edges not counted.</summary>
    public double RemainingAt(double x, double y) => resist.Remaining(energy.At(x, y));

    /// <summary>Energy, as the dose of a large area (µC/cm²).</summary>
    public double EnergyAt(double x, double y) => energy.At(x, y);

    /// <summary>
    /// Distance to the nearest edge, in nanometres, above zero inside what was exposed enough; to first order in the energy's slope,
    /// so it holds within about half a forward range of an edge.
    /// </summary>
    public double DistanceInside(double x, double y)
    {
        double value = energy.At(x, y, out double slopeX, out double slopeY);
        double slope = Math.Sqrt((slopeX * slopeX) + (slopeY * slopeY));
        double above = value - resist.EdgeMicrocoulombs;
        return slope > 0 ? (above / slope) + resist.LateralNanometres : above < 0 ? double.NegativeInfinity : double.PositiveInfinity;
    }

    /// <summary>
    /// Where going from a place along an axis crosses the nearest edge, its sideways move counted; null if none comes within a reach.
    /// </summary>
    /// <param name="x">Start.</param>
    /// <param name="y">Start.</param>
    /// <param name="stepX">One nanometre of the way, x.</param>
    /// <param name="stepY">One nanometre of the way, y.</param>
    /// <param name="reach">How far to look, in nanometres.</param>
    public double? DistanceToEdge(double x, double y, double stepX, double stepY, double reach)
    {
        double level = resist.EdgeMicrocoulombs;
        double last = energy.At(x, y) - level;
        bool startsInside = last >= 0;
        for (int i = 1; i <= reach; i++)
        {
            double here = energy.At(x + (i * stepX), y + (i * stepY)) - level;
            if (here >= 0 != startsInside)
            {
                return i - 1 + (last / (last - here)) + (startsInside ? resist.LateralNanometres : -resist.LateralNanometres);
            }

            last = here;
        }

        return null;
    }
}
