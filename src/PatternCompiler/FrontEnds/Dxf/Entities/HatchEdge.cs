using PatternCompiler.FrontEnds.Dxf.Curves;
using PatternCompiler.FrontEnds.Dxf.Tags;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>One edge of a HATCH loop: a line, an arc of a circle or an ellipse, or a spline.</summary>
internal sealed class HatchEdge
{
    private const int None = 0;
    private const int Line = 1;
    private const int Arc = 2;
    private const int Ellipse = 3;
    private const int Spline = 4;

    private readonly SplineParts spline = new();
    private int kind;
    private double x1;
    private double y1;
    private double x2;
    private double y2;
    private double size;
    private double start;
    private double end;
    private bool counterClockwise;
    private bool fitCountSeen;

    /// <summary>An edge has begun and not ended.</summary>
    public bool IsOpen => kind != None;

    /// <summary>The next group 97 is the number of a spline's fit points, not the end of the loop.</summary>
    public bool WantsFitPoints => kind == Spline && !fitCountSeen;

    /// <summary>Starts an edge of a kind.</summary>
    public void Begin(int edgeKind)
    {
        kind = edgeKind;
        (x1, y1, x2, y2, size, start, end, counterClockwise, fitCountSeen) = (0, 0, 0, 0, 0, 0, 360, true, false);
        spline.Clear();
    }

    /// <summary>Takes a pair of the edge.</summary>
    public void Take(DxfTagReader tag)
    {
        if (kind == Spline)
        {
            TakeSpline(tag);
            return;
        }

        switch (tag.Code)
        {
            case 10:
                x1 = tag.Real();
                break;
            case 20:
                y1 = tag.Real();
                break;
            case 11:
                x2 = tag.Real();
                break;
            case 21:
                y2 = tag.Real();
                break;
            case 40:
                size = tag.Real();
                break;
            case 50:
                start = tag.Real();
                break;
            case 51:
                end = tag.Real();
                break;
            case 73:
                counterClockwise = tag.Integer() != 0;
                break;
        }
    }

    /// <summary>Ends the edge: its curve, or null with what is wrong.</summary>
    public DxfCurve? End(out string fault)
    {
        fault = "";
        int ended = kind;
        kind = None;
        switch (ended)
        {
            case Line:
                return new BulgeCurve([new(x1, y1, 0), new(x2, y2, 0)], closed: false);
            case Arc when size > 0:
                (double from, double to) = Angles();
                return EllipticArc.Circular(new(x1, y1), size, from, to);
            case Ellipse when size > 0 && (x2 != 0 || y2 != 0):
                (from, to) = Angles();
                return EllipticArc.Elliptic(new(x1, y1), new(x2, y2), size, Parameter(from), Parameter(to));
            case Spline:
                return spline.ToCurve(out fault);
            default:
                fault = ended is Arc or Ellipse ? "the size is zero" : $"kind {ended} is unknown";
                return null;
        }
    }

    // The angles of a clockwise edge are measured clockwise. Which way it is followed does not matter: loops are joined by
    // their ends. Common practice of independent libraries; the DXF Reference does not say.
    private (double From, double To) Angles() => counterClockwise ? (start, end) : (-end, -start);

    // Angles of an elliptic edge are polar angles in degrees: tan(parameter) = tan(angle) / ratio.
    private double Parameter(double degrees)
    {
        (double sin, double cos) = Trigonometry.SinCosDegrees(degrees);
        return Trigonometry.Atan2(sin / size, cos);
    }

    private void TakeSpline(DxfTagReader tag)
    {
        switch (tag.Code)
        {
            case 94:
                spline.Degree = (int)Math.Clamp(tag.Integer(), -1, int.MaxValue);
                break;
            case 97:
                fitCountSeen = true;
                break;
            case 40:
                spline.AddKnot(tag.Real());
                break;
            case 42:
                spline.AddWeight(tag.Real());
                break;
            case 10:
                spline.AddControlX(tag.Real());
                break;
            case 20:
                spline.SetControlY(tag.Real());
                break;
            case 11:
                spline.AddFitX(tag.Real());
                break;
            case 21:
                spline.SetFitY(tag.Real());
                break;
        }
    }
}
