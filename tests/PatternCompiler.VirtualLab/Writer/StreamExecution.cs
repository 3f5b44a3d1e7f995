using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;

namespace PatternCompiler.VirtualLab.Writer;

/// <summary>Plays a stream in time: where the beam really is, and how much of it comes through.</summary>
internal sealed class StreamExecution
{
    private const double FemtocoulombsPerPicoampereSecond = 1000;

    // While the deflection moves, charge is put down at least this often on its way.
    private const double LargestStepNanometres = 4;
    private const int MostSteps = 20_000;

    // A settled deflection is within this many time constants of where it goes: e^-40 of the way.
    private const double SettledTimeConstants = 40;
    private const double PartOfHumPeriod = 0.02;

    private readonly LabTruth truth;
    private readonly Deposits deposits;
    private readonly double clockHertz;
    private readonly Outputs outputs;
    private readonly double originX;
    private readonly double originY;
    private readonly BlankerState blanker;
    private readonly Action<double, double, double>? seen;
    private readonly ScanState? scanX;
    private readonly ScanState? scanY;
    private double time;
    private double x;
    private double y;
    private double goalX;
    private double goalY;
    private double goalTime;

    /// <param name="truth">The lab.</param>
    /// <param name="header">The stream's header.</param>
    /// <param name="deposits">Takes the charge.</param>
    /// <param name="startSeconds">When it starts.</param>
    /// <param name="originX">Place on the sample under the undeflected beam.</param>
    /// <param name="originY">Its y.</param>
    /// <param name="seen">Told of each point where the beam is in the middle of its dwell, and how long that is.</param>
    public StreamExecution(LabTruth truth, StreamHeader header, Deposits deposits, double startSeconds, double originX, double originY, Action<double, double, double>? seen = null)
    {
        this.seen = seen;
        this.truth = truth;
        this.deposits = deposits;
        (this.originX, this.originY) = (originX, originY);
        (time, goalTime) = (startSeconds, startSeconds);
        clockHertz = header.ClockHertz;
        outputs = new Outputs(truth, header);
        blanker = new BlankerState(truth.Blanker);
        (scanX, scanY) = (truth.ScanX is { } alongX ? new ScanState(alongX, startSeconds) : null, truth.ScanY is { } alongY ? new ScanState(alongY, startSeconds) : null);
        HasBlanker = header.BlankLevel != 3;
    }

    private bool HasBlanker { get; }

    /// <summary>Plays all records; returns the time at the end, when the beam is off.</summary>
    public double Play(IEnumerable<StreamRecord> records)
    {
        bool isFirst = true;
        foreach (StreamRecord record in records)
        {
            if (isFirst && !HasBlanker)
            {
                // It has been on all the time, and has waited where it is parked since it wrote last.
                blanker.Switch(true, time - truth.Blanker.OnDelaySeconds);
                Go(record.X, record.Y);
                (x, y) = (goalX, goalY);
            }

            isFirst = false;
            switch (record.Kind)
            {
                case RecordKind.Jump:
                    Blank();
                    Go(record.X, record.Y);
                    Stay(record.Ticks);
                    break;
                case RecordKind.Wait:
                    Blank();
                    Stay(record.Ticks);
                    break;
                case RecordKind.Trigger:
                    Blank();
                    Await(record.Ticks);
                    break;
                case RecordKind.Dot:
                    blanker.Switch(true, time);
                    Go(record.X, record.Y);
                    See(record.Ticks);
                    Stay(record.Ticks);
                    break;
                case RecordKind.Line:
                    blanker.Switch(true, time);
                    Line(record);
                    break;
                default:
                    break;
            }
        }

        blanker.Switch(false, time);
        BlankerTruth last = truth.Blanker;
        StaySeconds(last.OffDelaySeconds + last.OnDelaySeconds + last.FallSeconds + last.RiseSeconds);
        return time;
    }

    // Edges come once in each period of the mains, one of them at time 0; one at the very start of the wait is missed.
    private void Await(long longestTicks)
    {
        double hertz = truth.Column.HumHertz;
        double wait = ((Math.Floor(time * hertz) + 1) / hertz) - time;
        if (wait > longestTicks / clockHertz)
        {
            throw new StreamFaultException("no edge comes to the trigger input in time: fault 9");
        }

        StaySeconds(wait);
    }

    private void Blank()
    {
        if (HasBlanker)
        {
            blanker.Switch(false, time);
        }
    }

    // Point i stands at x + floor((2·i·(end x − x) + (n − 1)) / (2·(n − 1))) and lasts one tick more where floor((i + 1)·r / n)
    // exceeds floor(i·r / n).
    private void Line(in StreamRecord record)
    {
        long n = record.Points;
        for (long i = 0; i < n; i++)
        {
            int atX = n == 1 ? record.X : record.X + (int)FloorDivide((2 * i * (record.EndX - record.X)) + (n - 1), 2 * (n - 1));
            int atY = n == 1 ? record.Y : record.Y + (int)FloorDivide((2 * i * (record.EndY - record.Y)) + (n - 1), 2 * (n - 1));
            long ticks = record.Ticks + ((i + 1) * record.LongerPoints / n) - (i * record.LongerPoints / n);
            Go(atX, atY);
            See(ticks);
            Stay(ticks);
        }
    }

    private void See(long ticks)
    {
        if (seen is not null)
        {
            double middle = time + (ticks / clockHertz / 2);
            (double atX, double atY) = DeflectionAt(middle);
            (double shiftX, double shiftY) = truth.Column.IsSteady ? (0, 0) : truth.Column.ShiftAt(middle);
            seen(originX + atX + shiftX, originY + atY + shiftY, ticks / clockHertz);
        }
    }

    private static long FloorDivide(long a, long b) => (a / b) - (a % b < 0 ? 1 : 0);

    // The deflection follows with one time constant, no faster than it can; where it does so at once, the goal is the place.
    private void Go(int codeX, int codeY)
    {
        (x, y) = DeflectionAt(time);
        (double voltsX, double voltsY) = outputs.VoltsAt(codeX, codeY);
        (goalX, goalY) = truth.Field.PlaceOf(voltsX, voltsY);
        goalTime = time;
        scanX?.Go(goalX, time);
        scanY?.Go(goalY, time);
    }

    private (double X, double Y) DeflectionAt(double at)
    {
        if (scanX is not null && scanY is not null)
        {
            return (scanX.At(at), scanY.At(at));
        }

        return (goalX + truth.Field.Away(x - goalX, at - goalTime), goalY + truth.Field.Away(y - goalY, at - goalTime));
    }

    private void Stay(long ticks) => StaySeconds(ticks / clockHertz);

    private void StaySeconds(double seconds)
    {
        double end = time + seconds;
        if (blanker.IsFullyOff && truth.Blanker.Leak == 0)
        {
            time = end;
            return;
        }

        while (time < end)
        {
            (double stop, double first, double last) = blanker.Stretch(time, end);
            Expose(time, stop, first, last);
            time = stop;
        }
    }

    // The level goes evenly from the first to the last.
    private void Expose(double from, double to, double firstLevel, double lastLevel)
    {
        if (firstLevel + lastLevel == 0 || !(to > from))
        {
            return;
        }

        int steps = Steps(from, to);
        double slope = (lastLevel - firstLevel) / (to - from);
        for (int i = 0; i < steps; i++)
        {
            double start = from + ((to - from) * i / steps), stop = from + ((to - from) * (i + 1) / steps);
            double middle = (start + stop) / 2;
            (double atX, double atY) = truth.Field.TimeConstantSeconds > 0 || scanX is not null ? DeflectionAt(middle) : (goalX, goalY);
            if (!truth.Column.IsSteady)
            {
                (double shiftX, double shiftY) = truth.Column.ShiftAt(middle);
                (atX, atY) = (atX + shiftX, atY + shiftY);
            }

            double level = firstLevel + (slope * (middle - from));
            deposits.Add(
                originX + atX, originY + atY,
                FemtocoulombsPerPicoampereSecond * truth.Column.CurrentAt(middle) * level * (stop - start));
        }
    }

    private int Steps(double from, double to)
    {
        double steps = 1;
        double constant = truth.Field.TimeConstantSeconds;
        double slewing = Math.Max(truth.Field.SlewingSeconds(x - goalX), truth.Field.SlewingSeconds(y - goalY));
        if (constant > 0 && from - goalTime < slewing + (SettledTimeConstants * constant))
        {
            // Even steps in time: the first one, the fastest, sets their number.
            (double startX, double startY) = DeflectionAt(from);
            double away = Math.Abs(startX - goalX) + Math.Abs(startY - goalY);
            double way = slewing > 0
                ? 2 * truth.Field.SlewNanometresPerSecond * (to - from)
                : Math.Min(away / constant * (to - from), 8 * away);
            steps = Math.Max(steps, way / LargestStepNanometres);
        }

        if (scanX is not null && scanY is not null)
        {
            steps = Math.Max(steps, (scanX.Speed(from) + scanY.Speed(from)) * (to - from) / LargestStepNanometres);
        }

        if (truth.Column.HumXNanometres + truth.Column.HumYNanometres > 0)
        {
            steps = Math.Max(steps, (to - from) * truth.Column.HumHertz / PartOfHumPeriod);
        }

        return (int)Math.Clamp(Math.Ceiling(steps), 1, MostSteps);
    }
}
