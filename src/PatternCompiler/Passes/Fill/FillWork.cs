using PatternCompiler.Limits;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fill;

/// <summary>How many strokes and points a layer takes, near enough to compare them with their limits before the first is made.</summary>
internal static class FillWork
{
    /// <summary>Fails if a layer asks for more than is allowed.</summary>
    public static void Require(IReadOnlyList<Figure> figures, int[] numbers, LayerPlan plan, long gridFemtometres, WorkLimits limits)
    {
        double strokes = 0;
        double points = 0;
        foreach (int number in numbers)
        {
            Figure figure = figures[number];
            switch (figure.Kind)
            {
                case FigureKind.Trapezoid:
                    bool alongX = plan.LinesRunAlongX(figure);
                    var shape = new AreaShape(figure, gridFemtometres, alongX);
                    double pitch = plan.Axes.Pitch(alongX).Spacing;
                    strokes += 1 + (((double)shape.High - shape.Low) / pitch);
                    points += 1 + (shape.Area / (pitch * plan.Axes.Step(alongX).Spacing));
                    break;
                case FigureKind.Line:
                    strokes++;
                    points += 1 + (LengthOf(figure) * gridFemtometres / Math.Min(plan.Axes.Step(true).Spacing, plan.Axes.Step(false).Spacing));
                    break;
                default:
                    strokes++;
                    points++;
                    break;
            }
        }

        limits.Meter(WorkKind.Strokes, numbers.Length).Require(strokes * plan.Passes);
        limits.Meter(WorkKind.Points, numbers.Length).Require(points * plan.Passes);
    }

    private static double LengthOf(in Figure line)
    {
        double dx = (double)line.End.X - line.Start.X, dy = (double)line.End.Y - line.Start.Y;
        return Math.Sqrt((dx * dx) + (dy * dy));
    }
}
