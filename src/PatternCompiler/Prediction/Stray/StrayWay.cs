using PatternCompiler.Instrument;

namespace PatternCompiler.Prediction.Stray;

/// <summary>Follows the deflection through a document's moves, and divides the way of a move into short pieces, then or later.</summary>
/// <param name="settle">How the deflection follows.</param>
internal sealed class StrayWay(SettleModel settle)
{
    private readonly AxisMotion followedX = AxisMotion.AlongX(settle);
    private readonly AxisMotion followedY = AxisMotion.AlongY(settle);

    /// <summary>Motion along x.</summary>
    public AxisMotion X { get; } = AxisMotion.AlongX(settle);

    /// <summary>Motion along y.</summary>
    public AxisMotion Y { get; } = AxisMotion.AlongY(settle);

    /// <summary>True if the beam is at once where it is sent.</summary>
    public bool IsIdeal => X.IsIdeal;

    /// <summary>The beam rests at a place.</summary>
    public void Rest(double x, double y)
    {
        X.Rest(x);
        Y.Rest(y);
    }

    /// <summary>Sends the beam to a place.</summary>
    public void Send(double x, double y)
    {
        X.Send(x);
        Y.Send(y);
    }

    /// <summary>Lets time pass.</summary>
    public void Pass(double seconds)
    {
        X.Pass(seconds);
        Y.Pass(seconds);
        if (!X.IsSum)
        {
            // As far off as the place, a sum of two numbers, is.
            X.Stay(X.Place - X.Goal);
            Y.Stay(Y.Place - Y.Goal);
        }
    }

    /// <summary>What is left of earlier moves, part by part, x first; null for one time constant, where the places tell it.</summary>
    public double[]? Left() => X.IsSum ? [.. X.Left, .. Y.Left] : null;

    /// <summary>Goes along a row of points.</summary>
    public void Ramp((double X, double Y) from, (double X, double Y) to, int points, double seconds)
    {
        X.Ramp(from.X, to.X, points, seconds);
        Y.Ramp(from.Y, to.Y, points, seconds);
    }

    /// <summary>Divides the way of a move into pieces.</summary>
    public void Divide(in StrayTrack track, double finest, List<TrackPiece> pieces)
    {
        Follow(track);
        JumpTrack.Divide(followedX, followedY, track.Seconds, finest, pieces);
    }

    /// <summary>Where the beam is at the end of a move.</summary>
    public (double X, double Y) EndOf(in StrayTrack track)
    {
        Follow(track);
        return (followedX.Goal + followedX.After(track.Seconds), followedY.Goal + followedY.After(track.Seconds));
    }

    private void Follow(in StrayTrack track)
    {
        ReadOnlySpan<double> left = track.Left;
        int partsX = left.IsEmpty ? 0 : X.Left.Length;
        followedX.Follow(track.FromX, track.GoalX, left[..partsX]);
        followedY.Follow(track.FromY, track.GoalY, left[partsX..]);
    }
}
