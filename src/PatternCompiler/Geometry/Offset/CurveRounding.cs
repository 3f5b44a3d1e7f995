using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.Geometry.Offset;

/// <summary>
/// Rounds the points of a moved curve to the grid so that the enclosed area stays right. The points of a polygonised curve
/// are grid points moved by vectors of one length, so rounding each to its nearest grid point errs to the same side
/// again and again (near an axis always outward if the distance is a whole number of steps). Of the four grid points
/// around it each point therefore takes the one that best makes up for the area gained or lost before.
/// </summary>
internal sealed class CurveRounding
{
    /// <summary>A grid point further away than this is never taken.</summary>
    private const double Furthest = 0.8;

    private double gained;
    private PlanePoint lastError;

    /// <summary>Begins a new curve.</summary>
    public void Restart()
    {
        gained = 0;
        lastError = default;
    }

    /// <summary>Rounds the point between two moved edges.</summary>
    public GridPoint Round(PlanePoint point, in OffsetEdge before, in OffsetEdge after)
    {
        // Moving the point by e to the right of the edges adds e times half their length, and a triangle between the errors
        // of neighbouring points.
        double lengthBefore = before.MovedLength, lengthAfter = after.MovedLength;
        PlanePoint right = new(
            ((before.Direction.Y * lengthBefore) + (after.Direction.Y * lengthAfter) - lastError.Y) / 2,
            (lastError.X - (before.Direction.X * lengthBefore) - (after.Direction.X * lengthAfter)) / 2);
        double x = Math.Floor(point.X), y = Math.Floor(point.Y);
        var best = new PlanePoint(x, y);
        PlanePoint bestError = default;
        double bestGain = double.PositiveInfinity;
        for (int i = 0; i < 4; i++)
        {
            var candidate = new PlanePoint(x + (i & 1), y + (i >> 1));
            PlanePoint error = candidate - point;
            double gain = gained + (error.X * right.X) + (error.Y * right.Y);
            if ((error.X * error.X) + (error.Y * error.Y) <= Furthest * Furthest && Math.Abs(gain) < Math.Abs(bestGain))
            {
                best = candidate;
                bestError = error;
                bestGain = gain;
            }
        }

        gained = bestGain;
        lastError = bestError;
        return best.ToGrid();
    }
}
