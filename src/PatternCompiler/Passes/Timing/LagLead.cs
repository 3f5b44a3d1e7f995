using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Passes.Timing;

/// <summary>
/// Cancels the lag of a deflection with one time constant τ. A beam that is driven at an even speed v runs v·τ behind;
/// driving it v·τ ahead puts it right: the first-order response to u + τ·du/dt is u. A line starts from rest at its own
/// first point, which is just where the response to the shifted ramp begins, so there is no transient either.
/// </summary>
internal static class LagLead
{
    /// <summary>The stroke to send in place of a wanted one.</summary>
    /// <param name="stroke">A line or dot.</param>
    /// <param name="lastX">Wanted place of the point before it, in femtometres.</param>
    /// <param name="lastY">As <paramref name="lastX"/>.</param>
    /// <param name="seconds">Time that the stroke takes.</param>
    /// <param name="timeConstantSeconds">Time constant of the deflection.</param>
    public static Stroke Apply(in Stroke stroke, long lastX, long lastY, double seconds, double timeConstantSeconds)
    {
        if (!(seconds > 0))
        {
            return stroke;
        }

        // A single point that continues another moves at the speed of the step to it.
        double dwell = seconds / stroke.Points;
        (double stepX, double stepY) = stroke.Points > 1
            ? ((stroke.EndXFemtometres - stroke.XFemtometres) / (stroke.Points - 1.0), (stroke.EndYFemtometres - stroke.YFemtometres) / (stroke.Points - 1.0))
            : (stroke.XFemtometres - lastX, (double)(stroke.YFemtometres - lastY));
        long leadX = (long)Math.Round(stepX * timeConstantSeconds / dwell);
        long leadY = (long)Math.Round(stepY * timeConstantSeconds / dwell);
        return stroke with
        {
            XFemtometres = stroke.XFemtometres + leadX,
            YFemtometres = stroke.YFemtometres + leadY,
            EndXFemtometres = stroke.EndXFemtometres + leadX,
            EndYFemtometres = stroke.EndYFemtometres + leadY,
        };
    }
}
