using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Prediction.Waveforms;

/// <summary>How both outputs, as the beam follows them, approach their codes: by the machine's time constant and speed limit, each by itself.</summary>
internal sealed class OutputSettling
{
    // After so many time constants a distance is below what a double tells from nothing.
    private const double ForgottenTimeConstants = 40;

    private readonly AxisResponse x;
    private readonly AxisResponse y;

    private OutputSettling(AxisResponse x, AxisResponse y, double forgottenSeconds)
    {
        this.x = x;
        this.y = y;
        ForgottenSeconds = forgottenSeconds;
    }

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

        double slewX = slew / Math.Abs(header.NanometresPerCodeX);
        double slewY = slew / Math.Abs(header.NanometresPerCodeY);
        double farthest = slew == 0 ? 0 : header.Dac.CodeCount / Math.Min(slewX, slewY);
        return new OutputSettling(new AxisResponse(tau, slewX), new AxisResponse(tau, slewY), ForgottenTimeConstants * tau + farthest);
    }

    /// <summary>Where the X output's beam is some time after it was sent from one place to another, in codes.</summary>
    public double X(double from, double goal, double seconds) => goal + x.After(from - goal, seconds);

    /// <summary>Where the Y output's beam is.</summary>
    public double Y(double from, double goal, double seconds) => goal + y.After(from - goal, seconds);
}
