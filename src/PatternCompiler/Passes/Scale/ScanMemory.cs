using PatternCompiler.Instrument;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Passes.Scale;

/// <summary>
/// What a deflection whose response is a sum of exponentials still has of earlier moves: its slow parts reach over many records. Waits
/// last until all that is left is within half a code, whatever it comes from; and where lag is cancelled, it tells by how much each
/// point of a line is to be commanded ahead. All on the sample, along its axes.
/// </summary>
internal sealed class ScanMemory
{
    private const double NanometresPerFemtometre = 1e-6;
    private readonly AxisMotion x;
    private readonly AxisMotion y;
    private readonly SettleModel model;
    private readonly double clockHertz;
    private readonly double halfCodeX;
    private readonly double halfCodeY;
    private readonly double fieldX;
    private readonly double fieldY;
    private double[] leadsX = [];
    private double[] leadsY = [];
    private bool hasPlace;

    /// <param name="model">The response.</param>
    /// <param name="clockHertz">Ticks per second.</param>
    /// <param name="mapping">Size of a code on the sample.</param>
    public ScanMemory(SettleModel model, double clockHertz, DacMapping mapping)
    {
        this.model = model;
        this.clockHertz = clockHertz;
        SettleModel withoutPlay = model with { HysteresisXNanometres = 0, HysteresisYNanometres = 0 };
        (x, y) = (AxisMotion.AlongX(withoutPlay), AxisMotion.AlongY(withoutPlay));
        (double outputX, double outputY) = (Math.Abs(mapping.NanometresPerCodeX) / 2, Math.Abs(mapping.NanometresPerCodeY) / 2);
        (halfCodeX, halfCodeY) = mapping.Deflection.SwapAxes ? (outputY, outputX) : (outputX, outputY);
        (fieldX, fieldY) = (mapping.Deflection.FieldWidthNanometres, mapping.Deflection.FieldHeightNanometres);
    }

    /// <summary>Lines are commanded ahead.</summary>
    public bool CancelsLag => model.CancelsLag;

    /// <summary>Sends the beam to a place and waits.</summary>
    /// <param name="xFemtometres">The place.</param>
    /// <param name="yFemtometres">As <paramref name="xFemtometres"/>.</param>
    /// <param name="fromRest">Ticks that a jump from rest waits; where waits are measured, they hold.</param>
    /// <returns>Ticks until what is left is within half a code in each axis.</returns>
    public long Jump(long xFemtometres, long yFemtometres, long fromRest)
    {
        Send(xFemtometres, yFemtometres);
        long ticks = fromRest;
        if (model.Table.IsDefaultOrEmpty)
        {
            double seconds = Math.Max(model.FixedSeconds, Math.Max(x.SecondsUntil(halfCodeX), y.SecondsUntil(halfCodeY)));
            ticks = (long)Math.Ceiling(seconds * clockHertz * (1 - 1e-12));
        }

        Wait(ticks);
        return ticks;
    }

    /// <summary>Sends the beam towards a place and goes on after some ticks.</summary>
    public void Pass(long xFemtometres, long yFemtometres, long ticks)
    {
        Send(xFemtometres, yFemtometres);
        Wait(ticks);
    }

    /// <summary>Exposes a line or dot.</summary>
    /// <param name="stroke">It.</param>
    /// <param name="lastX">The point before it, in femtometres.</param>
    /// <param name="lastY">As <paramref name="lastX"/>.</param>
    /// <param name="seconds">Time that it takes.</param>
    public void Expose(in Stroke stroke, long lastX, long lastY, double seconds)
    {
        Expose(x, ref leadsX, stroke.XFemtometres, stroke.EndXFemtometres, lastX, stroke.Points, seconds);
        Expose(y, ref leadsY, stroke.YFemtometres, stroke.EndYFemtometres, lastY, stroke.Points, seconds);
    }

    /// <summary>How far ahead of its place a point of the stroke that was exposed last is commanded, in femtometres.</summary>
    public (long X, long Y) LeadOf(int point) =>
        ((long)Math.Round(leadsX[point] / NanometresPerFemtometre), (long)Math.Round(leadsY[point] / NanometresPerFemtometre));

    private void Expose(AxisMotion motion, ref double[] leads, long start, long end, long last, int points, double seconds)
    {
        (double from, double to) = (start * NanometresPerFemtometre, end * NanometresPerFemtometre);
        if (!CancelsLag)
        {
            motion.Ramp(from, to, points, seconds);
            return;
        }

        // A single point that continues another moves at the speed of the step to it.
        double dwell = seconds / points;
        double step = points > 1 ? (to - from) / (points - 1) : (start - last) * NanometresPerFemtometre;
        if (leads.Length < points)
        {
            leads = new double[points];
        }

        if (seconds > 0)
        {
            motion.Lead(to, step / dwell, dwell, leads.AsSpan(0, points));
        }
        else
        {
            leads.AsSpan(0, points).Clear();
        }
    }

    private void Send(long xFemtometres, long yFemtometres)
    {
        (double toX, double toY) = (xFemtometres * NanometresPerFemtometre, yFemtometres * NanometresPerFemtometre);
        if (!hasPlace)
        {
            // Where the beam rested before is unknown: as if it came from the far end of the range.
            x.Rest(toX - fieldX);
            y.Rest(toY - fieldY);
            hasPlace = true;
        }

        x.Send(toX);
        y.Send(toY);
    }

    private void Wait(long ticks)
    {
        x.Pass(ticks / clockHertz);
        y.Pass(ticks / clockHertz);
    }
}
