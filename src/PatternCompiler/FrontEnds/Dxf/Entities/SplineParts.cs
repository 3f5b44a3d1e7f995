using PatternCompiler.FrontEnds.Dxf.Curves;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>The numbers that define a spline, gathered from a SPLINE entity or from an edge of a HATCH.</summary>
internal sealed class SplineParts
{
    private const int HighestDegree = 25;

    private readonly List<double> knots = [];
    private readonly List<double> weights = [];
    private readonly List<PlanePoint> control = [];
    private readonly List<PlanePoint> fit = [];

    /// <summary>Degree of the polynomials.</summary>
    public int Degree { get; set; } = 3;

    /// <summary>Direction at the first fit point, or null.</summary>
    public PlanePoint? StartTangent { get; set; }

    /// <summary>Direction at the last fit point, or null.</summary>
    public PlanePoint? EndTangent { get; set; }

    /// <summary>Forgets everything.</summary>
    public void Clear()
    {
        knots.Clear();
        weights.Clear();
        control.Clear();
        fit.Clear();
        (Degree, StartTangent, EndTangent) = (3, null, null);
    }

    /// <summary>Adds a knot.</summary>
    public void AddKnot(double knot) => knots.Add(knot);

    /// <summary>Adds a weight.</summary>
    public void AddWeight(double weight) => weights.Add(weight);

    /// <summary>Starts a control point.</summary>
    public void AddControlX(double x) => control.Add(new(x, 0));

    /// <summary>Completes the latest control point.</summary>
    public void SetControlY(double y) => SetY(control, y);

    /// <summary>Starts a fit point.</summary>
    public void AddFitX(double x) => fit.Add(new(x, 0));

    /// <summary>Completes the latest fit point.</summary>
    public void SetFitY(double y) => SetY(fit, y);

    /// <summary>The curve, or null with what is wrong. Control points take precedence over fit points.</summary>
    public SplineCurve? ToCurve(out string fault)
    {
        fault = "";
        if (control.Count == 0)
        {
            return FromFitPoints(out fault);
        }

        fault = Degree is < 1 or > HighestDegree ? $"the degree is {Degree}, it must be between 1 and {HighestDegree}"
            : control.Count <= Degree ? $"degree {Degree} needs {Degree + 1} control points or more, there are {control.Count}"
            : knots.Count != control.Count + Degree + 1
                ? $"{control.Count} control points of degree {Degree} need {control.Count + Degree + 1} knots, there are {knots.Count}"
            : !InOrder(knots) ? "the knots do not rise"
            : weights.Count != 0 && weights.Count != control.Count ? $"there are {weights.Count} weights for {control.Count} control points"
            : weights.Exists(w => !(w > 0)) ? "a weight is not above zero"
            : !(knots[Degree] < knots[control.Count]) ? "all knots are equal"
            : "";
        if (fault.Length > 0)
        {
            return null;
        }

        var points = new RationalPoint[control.Count];
        for (int i = 0; i < points.Length; i++)
        {
            points[i] = RationalPoint.From(control[i], weights.Count == 0 ? 1 : weights[i]);
        }

        return new SplineCurve(Degree, [.. knots], points);
    }

    private SplineCurve? FromFitPoints(out string fault)
    {
        var distinct = new List<PlanePoint>();
        foreach (PlanePoint point in fit)
        {
            if (distinct.Count == 0 || distinct[^1] != point)
            {
                distinct.Add(point);
            }
        }

        fault = distinct.Count < 2 ? "a spline needs control points or two fit points" : "";
        return distinct.Count < 2 ? null : InterpolatingSpline.Through(distinct, StartTangent, EndTangent);
    }

    private static bool InOrder(List<double> values)
    {
        for (int i = 1; i < values.Count; i++)
        {
            if (values[i] < values[i - 1])
            {
                return false;
            }
        }

        return true;
    }

    private static void SetY(List<PlanePoint> points, double y)
    {
        if (points.Count > 0)
        {
            points[^1] = points[^1] with { Y = y };
        }
    }
}
