using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// Watches records for bands of parallel lines, and for points along a line, and finds the ripple that their true
/// spacing on the DAC's codes leaves. Looks at a bounded number of bands, spread over the whole document.
/// </summary>
internal sealed class RippleProbe
{
    private const int MostLines = 64;
    private const int MostProbes = 2048;
    private const int PitchesPerSpot = 4;
    private readonly SamplePlane plane;
    private readonly double deviation;
    private readonly double widestPitch;
    private readonly double[] positions = new double[MostLines];
    private readonly double[] charges = new double[MostLines];
    private readonly RippleTally alongX;
    private readonly RippleTally alongY;
    private int held;
    private bool isBandHorizontal;
    private int bandFrom;
    private int bandTo;
    private long seenLines;

    public RippleProbe(SamplePlane plane, double spotNanometres)
    {
        this.plane = plane;
        deviation = spotNanometres / SpreadFunction.HalfMaximumWidthPerDeviation;
        widestPitch = PitchesPerSpot * spotNanometres;
        alongX = new RippleTally(deviation);
        alongY = new RippleTally(deviation);
    }

    /// <summary>What was found for steps along the sample's x axis: points of lines along x, and lines side by side in x.</summary>
    public SpacingEstimate AlongX => alongX.ToEstimate();

    /// <summary>As <see cref="AlongX"/>, along y.</summary>
    public SpacingEstimate AlongY => alongY.ToEstimate();

    /// <summary>Looks at one exposing record.</summary>
    public void See(in DeflectionRecord record)
    {
        if (record.Kind != RecordKind.Line || record.Points < 2 || (record.X != record.EndX && record.Y != record.EndY))
        {
            Close();
            return;
        }

        (double x, double y) = plane.PlaceOf(record.X, record.Y);
        (double endX, double endY) = plane.PlaceOf(record.EndX, record.EndY);
        bool isHorizontal = record.X == record.EndX ? y == endY : x != endX && y == endY;
        ProbePoints(record, isHorizontal);
        AddLine(record, isHorizontal, isHorizontal ? y : x);
    }

    /// <summary>Ends the band under way.</summary>
    public void Close()
    {
        if (held >= 3)
        {
            if (positions[0] > positions[1])
            {
                Array.Reverse(positions, 0, held);
                Array.Reverse(charges, 0, held);
            }

            (isBandHorizontal ? alongY : alongX).See(positions.AsSpan(0, held), charges.AsSpan(0, held), bandTo - bandFrom);
        }

        held = 0;
    }

    private void AddLine(in DeflectionRecord record, bool isHorizontal, double position)
    {
        int from = record.X == record.EndX ? Math.Min(record.Y, record.EndY) : Math.Min(record.X, record.EndX);
        int to = record.X == record.EndX ? Math.Max(record.Y, record.EndY) : Math.Max(record.X, record.EndX);
        bool continues = held > 0
            && held < MostLines
            && isHorizontal == isBandHorizontal
            && from < bandTo && to > bandFrom
            && Math.Abs(position - positions[held - 1]) <= widestPitch
            && position != positions[held - 1]
            && (held < 2 || position > positions[held - 1] == positions[1] > positions[0]);
        if (!continues)
        {
            Close();
            isBandHorizontal = isHorizontal;
        }

        positions[held] = position;
        charges[held] = (double)record.Ticks / Math.Max(1, to - from);
        held++;
        (bandFrom, bandTo) = (from, to);
    }

    private void ProbePoints(in DeflectionRecord record, bool isHorizontal)
    {
        // Lines 0, 1, 2 … first, then ever more rarely: the same lines on every run.
        seenLines++;
        if (seenLines > MostProbes && !long.IsPow2(seenLines))
        {
            return;
        }

        Span<LinePoint> points = stackalloc LinePoint[MostLines];
        points = points[..LinePoints.Expand(record, 0, points)];
        Span<double> places = stackalloc double[points.Length];
        Span<double> dwells = stackalloc double[points.Length];
        int kept = 0;
        foreach (LinePoint point in points)
        {
            (double x, double y) = plane.PlaceOf(point.X, point.Y);
            double place = isHorizontal ? x : y;
            if (kept > 0 && places[kept - 1] == place)
            {
                dwells[kept - 1] += point.Ticks;
                continue;
            }

            if (kept > 0 && Math.Abs(place - places[kept - 1]) > widestPitch)
            {
                // Points this far apart are features of their own, not an uneven line.
                return;
            }

            places[kept] = place;
            dwells[kept++] = point.Ticks;
        }

        if (kept < 2)
        {
            return;
        }

        if (places[0] > places[1])
        {
            places[..kept].Reverse();
            dwells[..kept].Reverse();
        }

        (isHorizontal ? alongX : alongY).See(places[..kept], dwells[..kept], places[kept - 1] - places[0]);
    }
}
