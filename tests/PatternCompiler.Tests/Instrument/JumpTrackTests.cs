using CsCheck;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Instrument;

/// <summary>Pieces of a way against the response of either axis, which is compared with its differential equation elsewhere.</summary>
public sealed class JumpTrackTests
{
    /// <summary>
    /// Times without a gap, pieces no longer than asked, and each at the mean of where the beam is: by Simpson's rule over each.
    /// With and without a speed limit, a time constant, a way in either axis; cut off in the middle or long after the goal.
    /// </summary>
    [Fact]
    public void Pieces_follow_the_response_of_both_axes() => Gen.Select(
        Gen.Double[0.1, 4], Gen.Bool, Gen.Double[20, 400], Gen.Bool, Gen.Select(Gen.Double[-900, 900], Gen.Double[-300, 300]), Gen.Int[0, 3], Gen.Double[0.05, 30], Gen.Double[0.5, 60]).Sample(
        (tau, hasTau, slew, hasSlew, way, axes, microseconds, finest) =>
        {
            var response = new AxisResponse(hasTau ? tau * 1e-6 : 0, hasSlew ? slew * 1e6 : 0);
            (double fromX, double fromY) = (axes == 1 ? 50 : 50 + way.Item1, axes == 2 ? -70 : -70 + way.Item2);
            double seconds = microseconds * 1e-6;
            var pieces = new List<TrackPiece>();
            (double x, double y) = JumpTrack.Divide(response, fromX, fromY, 50, -70, seconds, finest, pieces);
            Assert.Equal(50 + response.After(fromX - 50, seconds), x, 1e-9);
            Assert.Equal(-70 + response.After(fromY + 70, seconds), y, 1e-9);
            Assert.NotEmpty(pieces);
            double at = 0;
            foreach (TrackPiece piece in pieces)
            {
                Assert.Equal(at, piece.From, seconds * 1e-9);
                at = piece.From + piece.Seconds;
                (double ax, double ay) = Place(piece.From);
                (double mx, double my) = Place(piece.From + piece.Seconds / 2);
                (double bx, double by) = Place(at);
                double chord = Distance(ax - bx, ay - by);
                Assert.InRange(piece.LengthNanometres, 0, finest * 1.01 + 1e-9);
                Assert.Equal(response.IsIdeal ? 0 : chord, piece.LengthNanometres, 1e-6 + 1e-3 * chord);
                if (!response.IsIdeal && piece.Seconds < 2 * tau * 1e-6)
                {
                    double allowed = 1e-6 + 0.02 * chord;
                    Assert.Equal((ax + 4 * mx + bx) / 6, piece.X, allowed);
                    Assert.Equal((ay + 4 * my + by) / 6, piece.Y, allowed);
                }
            }

            Assert.Equal(seconds, at, seconds * 1e-9);

            (double, double) Place(double time) => (50 + response.After(fromX - 50, time), -70 + response.After(fromY + 70, time));
        },
        iter: Iterations.Usually(400));

    /// <summary>The same where the response of each axis is a sum of its own, and something is left of earlier moves: by Simpson's rule over each piece.</summary>
    [Fact]
    public void Pieces_follow_sums_of_exponentials() => Gen.Select(
        Gen.Double[-900, 900], Gen.Double[-300, 300], Gen.Double[0.2, 5], Gen.Double[0.05, 300], Gen.Double[2, 60], Gen.Int[0, 200]).Sample(
        (wayX, wayY, fast, microseconds, finest, play) =>
        {
            var settle = new SettleModel(0, 0, 0)
            {
                ResponseX = [new(0.9, fast * 1e-6), new(0.1, 60e-6)], ResponseY = [new(0.7, 3e-6), new(0.25, 20e-6), new(0.05, 90e-6)],
                HysteresisXNanometres = play, HysteresisYNanometres = play / 2.0,
            };
            (AxisMotion x, AxisMotion y) = (AxisMotion.AlongX(settle), AxisMotion.AlongY(settle));
            x.Send(50 - wayX / 2);
            y.Send(-70 + wayY);
            x.Pass(4e-6);
            y.Pass(4e-6);
            x.Send(50 + wayX);
            y.Send(-70 + wayY / 3);
            double seconds = microseconds * 1e-6;
            var pieces = new List<TrackPiece>();
            JumpTrack.Divide(x, y, seconds, finest, pieces);
            double at = 0;
            foreach (TrackPiece piece in pieces)
            {
                Assert.Equal(at, piece.From, seconds * 1e-9);
                at = piece.From + piece.Seconds;
                double chord = Distance(x.After(piece.From) - x.After(at), y.After(piece.From) - y.After(at));
                Assert.InRange(piece.LengthNanometres, 0, finest * (1 + 1e-9));
                Assert.Equal(chord, piece.LengthNanometres, 1e-9);
                if (piece.Seconds < 20 * fast * 1e-6)
                {
                    double allowed = 1e-6 + (1e-3 * finest);
                    Assert.Equal(x.Goal + Mean(x, piece), piece.X, allowed);
                    Assert.Equal(y.Goal + Mean(y, piece), piece.Y, allowed);
                }
            }

            Assert.Equal(seconds, at, seconds * 1e-9);

            static double Mean(AxisMotion axis, TrackPiece piece)
            {
                const int Steps = 40;
                double sum = 0;
                for (int i = 0; i <= Steps; i++)
                {
                    sum += axis.After(piece.From + (piece.Seconds * i / Steps)) * (i is 0 or Steps ? 1 : i % 2 == 1 ? 4 : 2);
                }

                return sum / (3 * Steps);
            }
        },
        iter: Iterations.Usually(200));

    [Fact]
    public void A_deflection_without_time_is_at_its_goal_at_once()
    {
        var pieces = new List<TrackPiece>();
        Assert.Equal((5.0, 6.0), JumpTrack.Divide(new AxisResponse(0, 0), 1, 2, 5, 6, 3e-6, 10, pieces));
        Assert.Equal([new TrackPiece(5, 6, 0, 3e-6, 0)], pieces);
        Assert.Equal((5.0, 6.0), JumpTrack.Divide(new AxisResponse(0, 0), 1, 2, 5, 6, 0, 10, pieces));
    }

    // τ = 2 µs, no limit: after τ·ln 2 half of the way is left; to rest from a to b takes τ·ln(a/b), at the logarithmic mean.
    [Fact]
    public void Equal_lengths_of_an_exponential_way_have_logarithmic_means()
    {
        var pieces = new List<TrackPiece>();
        JumpTrack.Divide(new AxisResponse(2e-6, 0), 400, 300, 0, 0, 2e-6 * Math.Log(4), 187.5, pieces);
        Assert.Equal(2, pieces.Count);
        Assert.Equal(187.5, pieces[0].LengthNanometres, 1e-9);
        Assert.Equal(2e-6 * Math.Log(500 / 312.5), pieces[0].Seconds, 1e-15);
        Assert.Equal(0.8 * 187.5 / Math.Log(500 / 312.5), pieces[0].X, 1e-6);
        Assert.Equal(0.6 * 187.5 / Math.Log(312.5 / 125), pieces[1].Y, 1e-6);
    }

    private static double Distance(double x, double y) => Math.Sqrt(x * x + y * y);
}
