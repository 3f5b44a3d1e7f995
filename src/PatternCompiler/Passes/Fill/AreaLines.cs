using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Cuts one area into lines with points. Except by the plain centre rule, the lines together have the charge of the area
/// to the zeptocoulomb; on codes they also keep its centroid.
/// </summary>
internal sealed class AreaLines
{
    /// <summary>Largest number of lines of one figure; a DAC of 24 bits has no more.</summary>
    private const int LineLimit = 1 << 24;

    private readonly RowCutter rowCutter = new();
    private readonly PointPlacer pointPlacer = new();
    private readonly NodeWeights nodeWeights = new();
    private readonly CutList cuts = new();

    /// <summary>
    /// How many steps the points of the last area are apart: more than one where its dose is so low that a regular point
    /// would be below the smallest charge.
    /// </summary>
    public int StepsBetweenPoints { get; private set; }

    /// <summary>Cuts an area. The result is valid until the next call.</summary>
    /// <param name="shape">The area.</param>
    /// <param name="figure">Its number, for errors.</param>
    /// <param name="charge">Its whole charge in zeptocoulombs.</param>
    /// <param name="plan">Spacings.</param>
    /// <param name="linesAlongX">Direction of the lines.</param>
    public ReadOnlySpan<LineCut> Cut(in AreaShape shape, int figure, long charge, LayerPlan plan, bool linesAlongX)
    {
        cuts.Clear();
        AxisPlan rows = plan.Axes.Pitch(linesAlongX);
        AxisPlan columns = plan.Axes.Step(linesAlongX);
        RequireFewLines((shape.High - shape.Low) / rows.Spacing, figure);
        double density = charge / shape.Area;
        bool isCentred = rows.Rule == AxisRule.Centre || columns.Rule == AxisRule.Centre;
        StepsBetweenPoints = plan.Charges.StepsBetweenPoints(density, shape.Area, rows, columns);
        columns = columns.Times(StepsBetweenPoints);
        double pointCharge = density * rows.Spacing * columns.Spacing;

        // Where even a regular point is below the smallest charge, thinning points out would only hide it.
        double smallest = pointCharge >= plan.Charges.SmallestPoint ? plan.Charges.SmallestPoint / pointCharge : 0;
        if (!isCentred && charge < 2 * plan.Charges.SmallestPoint)
        {
            AddDot(shape, rows, columns, charge);
        }
        else if (rows.Rule == AxisRule.Shared && columns.Rule == AxisRule.Shared)
        {
            plan.Charges.RequireDwell(pointCharge, figure);
            nodeWeights.Append(shape, rows.Nodes, columns.Nodes, density, smallest, cuts);
        }
        else
        {
            pointPlacer.Append(rowCutter.Cut(shape, rows, density, smallest), columns, pointCharge, smallest, cuts);
        }

        if (!isCentred)
        {
            if (cuts.Count == 0)
            {
                AddDot(shape, rows, columns, charge);
            }

            cuts.Complete(charge);
        }

        return cuts.Cuts;
    }

    /// <summary>Refuses more points in one stroke than a document can count.</summary>
    public static void RequireCountable(double points, int figure)
    {
        if (points > int.MaxValue)
        {
            throw new CompileException(
                FillCodes.TooManyPoints,
                $"a line of the figure would need {points:0} points, more than {int.MaxValue}",
                SourcePlace.OfFigure(figure),
                "raise the point step");
        }
    }

    /// <summary>There is charge for one point only: the area becomes one dot at its centroid, or on the code next to it.</summary>
    private void AddDot(in AreaShape shape, in AxisPlan rows, in AxisPlan columns, double charge)
    {
        Span<double> corners = stackalloc double[4];
        corners = corners[..shape.Corners(corners)];
        var moments = new RowMoments(shape.Between(shape.Low + (shape.High - shape.Low) / 2.0).Start);
        foreach (ShapePiece piece in new ShapePieces(shape, corners, shape.Low, shape.High))
        {
            moments.Add(piece, 1, 1);
        }

        (double start, double end) = moments.Interval();
        long u = Place(columns, (start + end) / 2);
        cuts.Add(Place(rows, moments.CentreAcross), u, u, 1, charge);

        static long Place(in AxisPlan axis, double femtometres) => axis.Rule == AxisRule.Free
            ? (long)Math.Floor(femtometres + 0.5)
            : axis.Codes.PositionOf((long)Math.Floor((femtometres - axis.Codes.Origin) / axis.Codes.Step + 0.5));
    }

    private static void RequireFewLines(double lines, int figure)
    {
        if (lines > LineLimit)
        {
            throw new CompileException(
                FillCodes.TooManyPoints,
                $"the figure would need {lines:0} lines, more than {LineLimit}",
                SourcePlace.OfFigure(figure),
                "raise the line pitch");
        }
    }
}
