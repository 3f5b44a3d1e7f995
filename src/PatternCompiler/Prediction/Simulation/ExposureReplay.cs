using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// Plays a records document back on a machine and deposits charge where the beam really is: on the DAC's codes, late by
/// the deflection's time constant and slew limit, where the field's calibration says that codes land, through a blanker that
/// answers late, rises and falls slowly and may leak, in focus or as a fog on a map of its own.
/// </summary>
internal sealed class ExposureReplay : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    /// <summary>Points of a line that are played at once.</summary>
    public const int PointsAtOnce = 1024;

    private readonly Machine machine;
    private readonly ChargeMap map;
    private readonly AxisMotion x;
    private readonly AxisMotion y;
    private readonly BeamShutter shutter;
    private readonly ChargeRegion? region;
    private LinePoint[] points = [];
    private LagDecays? lagDecays;
    private readonly HumReplay mains;
    private readonly double finestMove;
    private readonly double originX;
    private readonly double originY;

    private SamplePlane plane;
    private DacMapping? calibrated;
    private double tick;
    private double now;
    private bool hasPlace;
    private TriggerEdges? edges;

    /// <summary>Replays on a machine into a map. Clock, DAC and field are taken from the records themselves.</summary>
    /// <param name="machine">The machine.</param>
    /// <param name="map">Takes the charge.</param>
    /// <param name="originXNanometres">Where the middle of the field lies on the map.</param>
    /// <param name="originYNanometres">Where the middle of the field lies on the map.</param>
    /// <param name="mains">What the mains does; null for the machine's hum, writing started at an edge.</param>
    public ExposureReplay(Machine machine, ChargeMap map, double originXNanometres = 0, double originYNanometres = 0, HumReplay? mains = null)
    {
        this.mains = mains ?? HumReplay.Of(machine);
        (originX, originY) = (originXNanometres, originYNanometres);
        this.machine = machine;
        this.map = map;
        (x, y) = (AxisMotion.AlongX(machine.Settle), AxisMotion.AlongY(machine.Settle));
        shutter = new BeamShutter(machine.Blanker);
        finestMove = map.PixelNanometres / 2;
    }

    private ExposureReplay(ExposureReplay other, ChargeRegion? region)
    {
        this.region = region;
        points = region?.Points ?? [];
        lagDecays = region?.Decays;
        mains = other.mains.Copy();
        (originX, originY) = (other.originX, other.originY);
        (machine, map) = (other.machine, other.map);
        (x, y, shutter) = (other.x.Copy(), other.y.Copy(), other.shutter.Copy());
        finestMove = other.finestMove;
        (plane, calibrated, tick, edges) = (other.plane, other.calibrated, other.tick, other.edges);
        (now, hasPlace) = (other.now, other.hasPlace);
    }

    /// <summary>The replay as it stands, to go on from here later.</summary>
    public ExposureReplay Copy() => new(this, null);

    /// <summary>A copy that goes on from here, its charge into a part of the map.</summary>
    public ExposureReplay Into(ChargeRegion part) => new(this, part);

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        points = new LinePoint[PointsAtOnce];
        lagDecays = new LagDecays();
        map.BeginReplay();
        plane = new SamplePlane(header);
        tick = 1 / header.ClockHertz;
        edges = TriggerEdges.For(header, machine, mains.StartSeconds);

        // A machine's own calibration says where its codes really send the beam.
        Deflection deflection = machine.Deflection;
        bool isIdeal = deflection is { LinearityX: null, LinearityY: null, Crosstalk: null } && deflection.Command.Equals(AffineCalibration.Identity);
        calibrated = isIdeal ? null : new DacMapping(header.Dac, deflection);
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        foreach (ref readonly DeflectionRecord record in items)
        {
            map.Journal?.Add(record, this);
            Play(record);
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        map.Journal?.AddEnd(this);
        PlayEnd();
        map.Journal?.EndPage();
    }

    /// <summary>Plays a record.</summary>
    public void Play(in DeflectionRecord record)
    {
        switch (record.Kind)
        {
            case RecordKind.Marker:
                break;
            case RecordKind.Wait:
                shutter.Command(false, now);
                Stay(record.Ticks);
                break;
            case RecordKind.Trigger:
                shutter.Command(false, now);
                Stay(edges!.After(now) - now, -1);
                break;
            case RecordKind.Jump:
                shutter.Command(false, now);
                Aim(record.X, record.Y);
                Stay(record.Ticks);
                break;
            default:
                shutter.Command(true, now);
                Expose(record);
                break;
        }
    }

    /// <summary>Plays what comes after the last record.</summary>
    public void PlayEnd()
    {
        // The line turns the beam off; what still comes through belongs to the exposure.
        shutter.Command(false, now);
        while (machine.Blanker.IsPresent && !double.IsInfinity(shutter.NextChange))
        {
            Stay(Math.Max(shutter.NextChange - now, double.Epsilon), -1);
            shutter.AdvanceTo(Math.Max(now, Math.BitIncrement(now)));
        }
    }

    private void Expose(in DeflectionRecord record)
    {
        int done = 0;
        while (done < record.Points)
        {
            int count = LinePoints.Expand(record, done, points);
            foreach (ref readonly LinePoint point in points.AsSpan(0, count))
            {
                Aim(point.X, point.Y);
                Stay(point.Ticks);
            }

            done += count;
        }
    }

    private void Aim(int codeX, int codeY)
    {
        (double toX, double toY) = calibrated is null ? plane.PlaceOf(codeX, codeY) : calibrated.PlaceOf(codeX, codeY);
        (toX, toY) = (toX + originX, toY + originY);
        if (!hasPlace)
        {
            // Where the beam rested before is unknown: it starts where it is first sent.
            x.Rest(toX);
            y.Rest(toY);
            hasPlace = true;
        }

        x.Send(toX);
        y.Send(toY);
    }

    private void Stay(long ticks) => Stay(ticks * tick, ticks);

    private void Stay(double seconds, long ticks)
    {
        if (seconds <= 0)
        {
            return;
        }

        double end = now + seconds;
        if (shutter.NextChange >= end && ticks >= 0 && !mains.Moves(seconds) && TryStayNear(seconds, ticks))
        {
            now = end;
            shutter.AdvanceTo(now);
            return;
        }

        double from = 0;
        while (from < seconds)
        {
            double to = Math.Min(seconds, Math.Max(from, shutter.NextChange - now));
            if (to > from)
            {
                double open = shutter.OpenBetween(now + from, now + to);
                double current = machine.Beam.CurrentAt(now);
                (double focused, double fog) = (shutter.Focused(open) * current, shutter.Fog(open) * current);
                if (focused + fog > 0)
                {
                    DepositPath(from, to, focused, fog);
                }
            }

            shutter.AdvanceTo(to > from ? now + to : Math.Max(now + to, shutter.NextChange));
            from = to;
        }

        x.Pass(seconds);
        y.Pass(seconds);
        now = end;
    }

    /// <summary>
    /// The usual case: nothing switches, and the beam moves a few pixels at most. Equal parts of the stay, each moving it
    /// about a pixel, are deposited at their mean places.
    /// </summary>
    private bool TryStayNear(double seconds, long ticks)
    {
        if (x.IsIdeal)
        {
            Deposit(x.Goal, y.Goal, seconds);
            return true;
        }

        if (x.IsSum)
        {
            return TryStayWithin(seconds);
        }

        AxisResponse response = x.Response;
        (double dx, double dy) = (x.Lag, y.Lag);
        if (!response.IsExponential(dx) || !response.IsExponential(dy))
        {
            return false;
        }

        lagDecays!.Of(ticks, seconds, response.TimeConstantSeconds, out ReadOnlySpan<double> decays, out ReadOnlySpan<double> means);
        double move = Math.Max(Math.Abs(dx), Math.Abs(dy)) * (1 - decays[1]);
        if (move > LagDecays.MostParts * map.PixelNanometres)
        {
            return false;
        }

        int parts = Math.Max(1, (int)Math.Ceiling(move / map.PixelNanometres));
        for (int i = 0; i < parts; i++)
        {
            Deposit(x.Goal + dx * means[parts], y.Goal + dy * means[parts], seconds / parts);
            dx *= decays[parts];
            dy *= decays[parts];
        }

        x.Stay(dx);
        y.Stay(dy);
        return true;
    }

    /// <summary>A stay in which a sum of exponentials moves the beam by a pixel at most: all of it at its mean place.</summary>
    private bool TryStayWithin(double seconds)
    {
        double atX = x.MeanWithin(seconds, map.PixelNanometres);
        double atY = y.MeanWithin(seconds, map.PixelNanometres);
        if (double.IsNaN(atX + atY))
        {
            return false;
        }

        Deposit(atX, atY, seconds);
        x.Pass(seconds);
        y.Pass(seconds);
        return true;
    }

    private void Deposit(double atX, double atY, double seconds)
    {
        double open = shutter.OpenBetween(now, now + seconds);
        double current = machine.Beam.CurrentAt(now);
        (double focused, double fog) = (shutter.Focused(open) * current, shutter.Fog(open) * current);
        if (focused + fog > 0)
        {
            Put(atX, atY, now, focused * seconds, fog * seconds);
        }
    }

    /// <summary>Charge where the beam is sent to, moved by what the mains does at that time.</summary>
    private void Put(double atX, double atY, double at, double coulombs, double fogCoulombs)
    {
        (double humX, double humY) = mains.At(at, coulombs);
        if (region is not null)
        {
            if (coulombs > 0)
            {
                region.Deposit(atX + humX, atY + humY, coulombs);
            }

            return;
        }

        if (coulombs > 0)
        {
            map.Deposit(atX + humX, atY + humY, coulombs);
        }

        if (fogCoulombs > 0)
        {
            map.DepositFog(atX + humX, atY + humY, fogCoulombs);
        }
    }

    /// <summary>Deposits along the way between two times, halving the time until each part moves less than half a pixel.</summary>
    private void DepositPath(double from, double to, double current, double fog)
    {
        double move = Math.Max(x.Travel(from, to), y.Travel(from, to));
        if ((move <= finestMove && !mains.Moves(to - from)) || to - from <= 1e-15)
        {
            Put(x.Goal + x.Mean(from, to), y.Goal + y.Mean(from, to), now + (from + to) / 2, current * (to - from), fog * (to - from));
            return;
        }

        double middle = (from + to) / 2;
        DepositPath(from, middle, current, fog);
        DepositPath(middle, to, current, fog);
    }
}
