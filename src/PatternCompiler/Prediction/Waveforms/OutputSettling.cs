using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Prediction.Waveforms;

/// <summary>
/// How both outputs, as the beam follows them, approach their codes: by the machine's response and speed limit, each by itself.
/// Hysteresis is left out: it is the beam's, and no line shows it.
/// </summary>
internal sealed class OutputSettling
{
    // After so many time constants a distance is below what a double tells from nothing.
    private const double ForgottenTimeConstants = 40;

    private OutputSettling(AxisMotion x, AxisMotion y, double forgottenSeconds)
    {
        X = x;
        Y = y;
        ForgottenSeconds = forgottenSeconds;
    }

    /// <summary>What the X output's beam does, in codes.</summary>
    public AxisMotion X { get; }

    /// <summary>What the Y output's beam does.</summary>
    public AxisMotion Y { get; }

    /// <summary>Where the beam was longer ago than this means nothing any more.</summary>
    public double ForgottenSeconds { get; }

    /// <summary>The settling of a machine in codes of its outputs; null where the machine states none.</summary>
    public static OutputSettling? Of(SettleModel settle, RecordsHeader header)
    {
        double tau = settle.TimeConstantSeconds;
        double slew = settle.SlewNanometresPerSecond;
        if (tau == 0 && slew == 0)
        {
            return null;
        }

        (double stepX, double stepY) = (Math.Abs(header.NanometresPerCodeX), Math.Abs(header.NanometresPerCodeY));
        double farthest = slew == 0 ? 0 : header.Dac.CodeCount / Math.Min(slew / stepX, slew / stepY);
        return new OutputSettling(
            AxisMotion.Of(settle, header.AxesAreSwapped, stepX), AxisMotion.Of(settle, !header.AxesAreSwapped, stepY), ForgottenTimeConstants * tau + farthest);
    }

    /// <summary>What both beams do from some time after the last command on.</summary>
    public (AxisMotion X, AxisMotion Y) After(double seconds)
    {
        (AxisMotion x, AxisMotion y) = (X.Copy(), Y.Copy());
        x.Pass(seconds);
        y.Pass(seconds);
        return (x, y);
    }
}
