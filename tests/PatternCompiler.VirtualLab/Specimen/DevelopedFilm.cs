using PatternCompiler.VirtualLab.Truth;

namespace PatternCompiler.VirtualLab.Specimen;

/// <summary>What development has left of a part of the resist.</summary>
public sealed class DevelopedFilm(SampleGrid energy, ResistTruth resist)
{
    private const double FarNanometres = 150;
    private const int NewtonSteps = 3;

    public ResistTruth Resist => resist;

    /// <summary>Part of the film's thickness that is left at a place, the sideways move of edges not counted.</summary>
    public double RemainingAt(double x, double y) => resist.Remaining(energy.At(x, y));

    /// <summary>Energy, as the dose of a large area (µC/cm²).</summary>
    public double EnergyAt(double x, double y) => energy.At(x, y);

    /// <summary>
    /// Distance to the nearest edge, in nanometres, above zero inside what was exposed enough: steps of Newton's along the energy's
    /// slope to where it is that of an edge, and the sideways move of edges. Further than some forward ranges away it is only known
    /// to be far.
    /// </summary>
    public double DistanceInside(double x, double y)
    {
        (double atX, double atY) = (x, y);
        double above = Above(atX, atY, out double slopeX, out double slopeY);
        double slope = Math.Sqrt((slopeX * slopeX) + (slopeY * slopeY));
        if (slope == 0)
        {
            return above < 0 ? double.NegativeInfinity : double.PositiveInfinity;
        }

        // Where the energy bends, the first step misses by the square of its length.
        double first = above / slope;
        if (Math.Abs(first) > FarNanometres)
        {
            return first + resist.LateralNanometres;
        }

        for (int i = 0; i < NewtonSteps && slope > 0 && Math.Abs(above / slope) < FarNanometres; i++)
        {
            (atX, atY) = (atX - (above * slopeX / (slope * slope)), atY - (above * slopeY / (slope * slope)));
            above = Above(atX, atY, out slopeX, out slopeY);
            slope = Math.Sqrt((slopeX * slopeX) + (slopeY * slopeY));
        }

        return (Math.Sign(first) * Math.Sqrt(((atX - x) * (atX - x)) + ((atY - y) * (atY - y)))) + resist.LateralNanometres;
    }

    private double Above(double x, double y, out double slopeX, out double slopeY) => energy.At(x, y, out slopeX, out slopeY) - resist.EdgeMicrocoulombs;

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
