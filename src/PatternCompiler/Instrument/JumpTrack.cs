namespace PatternCompiler.Instrument;

/// <summary>
/// The way of the beam after both outputs step to new values: each axis follows its own <see cref="AxisResponse"/>, so that
/// the way is straight while both are exponential, and bent where a speed limit holds one of them back.
/// </summary>
internal static class JumpTrack
{
    private const int MostPieces = 1 << 20;
    private const int MostHalvings = 40;

    /// <summary>
    /// The same for motions that remember earlier moves. Where the response is a sum of exponentials the way is bent, and is halved in
    /// time until no piece is longer than wanted.
    /// </summary>
    public static void Divide(AxisMotion x, AxisMotion y, double seconds, double finest, List<TrackPiece> pieces)
    {
        if (!x.IsSum)
        {
            Divide(x.Response, x.Place, y.Place, x.Goal, y.Goal, seconds, finest, pieces);
            return;
        }

        int most = pieces.Count + MostPieces;
        Halve(0, seconds, 0);

        void Halve(double from, double to, int depth)
        {
            if (depth < MostHalvings && pieces.Count < most && Distance(x.Travel(from, to), y.Travel(from, to)) > finest)
            {
                double middle = from + (to - from) / 2;
                Halve(from, middle, depth + 1);
                Halve(middle, to, depth + 1);
                return;
            }

            double length = Distance(x.After(from) - x.After(to), y.After(from) - y.After(to));
            pieces.Add(new TrackPiece(x.Goal + x.Mean(from, to), y.Goal + y.Mean(from, to), from, to - from, length));
        }
    }

    /// <summary>Divides a way into pieces, in order. Together they take exactly the given time.</summary>
    /// <param name="response">Of either axis.</param>
    /// <param name="fromX">Where the beam is, in nanometres.</param>
    /// <param name="fromY">As <paramref name="fromX"/>.</param>
    /// <param name="goalX">Where it is sent.</param>
    /// <param name="goalY">As <paramref name="goalX"/>.</param>
    /// <param name="seconds">Time until the next command.</param>
    /// <param name="finest">No piece is longer.</param>
    /// <param name="pieces">Takes the pieces.</param>
    /// <returns>Where the beam is at the end.</returns>
    public static (double X, double Y) Divide(
        AxisResponse response, double fromX, double fromY, double goalX, double goalY, double seconds, double finest, List<TrackPiece> pieces)
    {
        double dx = fromX - goalX;
        double dy = fromY - goalY;
        if (response.IsIdeal)
        {
            pieces.Add(new TrackPiece(goalX, goalY, 0, seconds, 0));
            return (goalX, goalY);
        }

        double first = Math.Min(seconds, Math.Min(response.SlewSeconds(dx), response.SlewSeconds(dy)));
        double second = Math.Min(seconds, Math.Max(response.SlewSeconds(dx), response.SlewSeconds(dy)));
        AddEven(0, first);
        AddEven(first, second);
        if (response.TimeConstantSeconds > 0)
        {
            AddExponential(second);
        }
        else if (seconds > second)
        {
            pieces.Add(new TrackPiece(goalX, goalY, second, seconds - second, 0));
        }

        return (goalX + response.After(dx, seconds), goalY + response.After(dy, seconds));

        // While a speed limit holds, neither axis is faster at the end than at the beginning: equal times are at most equal lengths.
        void AddEven(double from, double to)
        {
            if (to <= from)
            {
                return;
            }

            double early = Math.Min(to, from + (to - from) * 1e-3);
            double speed = Distance(response.After(dx, from) - response.After(dx, early), response.After(dy, from) - response.After(dy, early)) / (early - from);
            int count = Count(speed * (to - from) / finest);
            for (int i = 0; i < count; i++)
            {
                double a = from + (to - from) * i / count;
                double b = from + (to - from) * (i + 1) / count;
                double length = Distance(response.After(dx, a) - response.After(dx, b), response.After(dy, a) - response.After(dy, b));
                pieces.Add(new TrackPiece(goalX + response.Mean(dx, a, b), goalY + response.Mean(dy, a, b), a, b - a, length));
            }
        }

        // Equal lengths on a straight way: from a to b takes τ·ln(a/b), and the mean place in time is the logarithmic mean.
        void AddExponential(double from)
        {
            double tau = response.TimeConstantSeconds;
            double left = seconds - from;
            double x = response.After(dx, from);
            double y = response.After(dy, from);
            double length = Distance(x, y);
            double rest = length * Math.Exp(-left / tau);
            if (left <= 0 || length == 0)
            {
                if (left > 0)
                {
                    pieces.Add(new TrackPiece(goalX, goalY, from, left, 0));
                }

                return;
            }

            int count = Count((length - rest) / finest);
            double at = from;
            for (int i = 0; i < count; i++)
            {
                double a = length - (length - rest) * i / count;
                double b = i + 1 == count ? rest : length - (length - rest) * (i + 1) / count;
                double time = i + 1 == count ? seconds - at : tau * Math.Log(a / b);
                double mean = time > 0 ? (a - b) * tau / time / length : a / length;
                pieces.Add(new TrackPiece(goalX + x * mean, goalY + y * mean, at, time, a - b));
                at += time;
            }
        }
    }

    private static int Count(double pieces) => (int)Math.Clamp(Math.Ceiling(pieces), 1, MostPieces);

    private static double Distance(double x, double y) => Math.Sqrt(x * x + y * y);
}

/// <summary>A short piece of the way that the beam takes when the deflection moves.</summary>
/// <param name="X">Mean place in time, in nanometres.</param>
/// <param name="Y">As <paramref name="X"/>.</param>
/// <param name="From">When it begins, in seconds since the deflection was commanded.</param>
/// <param name="Seconds">How long the beam takes over it.</param>
/// <param name="LengthNanometres">Its length; 0 where the beam rests.</param>
internal readonly record struct TrackPiece(double X, double Y, double From, double Seconds, double LengthNanometres);
