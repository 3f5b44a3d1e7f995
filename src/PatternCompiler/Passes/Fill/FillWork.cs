using PatternCompiler.Limits;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fill;

/// <summary>How many strokes and points a layer takes, near enough to compare them with their limits before the first is made.</summary>
internal static class FillWork
{
    /// <summary>Fails if a layer asks for more than is allowed.</summary>
    public static void Require(IReadOnlyList<Figure> figures, int[] numbers, LayerPlan plan, long gridFemtometres, WorkLimits limits, CancellationToken cancellation)
    {
        // Each part has a sum of its own, so that the total does not depend on which comes first.
        var work = new (double Strokes, double Points)[FigureChunks.Count(numbers.Length)];
        FigureChunks.ForParts(
            numbers.Length,
            (part, first, end) =>
            {
                foreach (int number in numbers.AsSpan(first..end))
                {
                    (double strokes, double points) = Of(figures[number], plan, gridFemtometres);
                    work[part].Strokes += strokes;
                    work[part].Points += points;
                }
            },
            cancellation);
        limits.Meter(WorkKind.Strokes, numbers.Length).Require(work.Sum(part => part.Strokes) * plan.Passes);
        limits.Meter(WorkKind.Points, numbers.Length).Require(work.Sum(part => part.Points) * plan.Passes);
    }

    private static (double Strokes, double Points) Of(in Figure figure, LayerPlan plan, long gridFemtometres)
    {
        switch (figure.Kind)
        {
            case FigureKind.Trapezoid:
                bool alongX = plan.LinesRunAlongX(figure);
                var shape = new AreaShape(figure, gridFemtometres, alongX);
                double pitch = plan.Axes.Pitch(alongX).Spacing;
                return (1 + (((double)shape.High - shape.Low) / pitch), 1 + (shape.Area / (pitch * plan.Axes.Step(alongX).Spacing)));
            case FigureKind.Line:
                return (1, 1 + (LengthOf(figure) * gridFemtometres / Math.Min(plan.Axes.Step(true).Spacing, plan.Axes.Step(false).Spacing)));
            default:
                return (1, 1);
        }
    }

    private static double LengthOf(in Figure line)
    {
        double dx = (double)line.End.X - line.Start.X, dy = (double)line.End.Y - line.Start.Y;
        return Math.Sqrt((dx * dx) + (dy * dy));
    }
}
