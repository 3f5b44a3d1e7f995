using System.Runtime.InteropServices;
using PatternCompiler.Model;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Passes.Route;

/// <summary>
/// Passes strokes on, with each jump that would print replaced by a way that prints less, if there is one. What is exposed
/// stays as it is.
/// </summary>
internal sealed class JumpRouter : IDocumentSink<StrokesHeader, Stroke>
{
    private const double NanometresPerFemtometre = 1e-6;
    private const double ShortestInDeviations = 6;
    private readonly IDocumentSink<StrokesHeader, Stroke> output;
    private readonly RouteTrial trial;
    private readonly RoutePlanner planner;
    private readonly double shortest;
    private readonly CancellationToken cancellation;
    private (double X, double Y)? beam;

    /// <summary>Routes into <paramref name="output"/>.</summary>
    /// <param name="area">The pattern; takes what the jumps leave.</param>
    /// <param name="options">Beam, resist and limits.</param>
    /// <param name="output">Takes the strokes.</param>
    /// <param name="cancellation">Stops the work.</param>
    public JumpRouter(RouteArea area, RouteOptions options, IDocumentSink<StrokesHeader, Stroke> output, CancellationToken cancellation)
    {
        this.output = output;
        this.cancellation = cancellation;
        trial = new RouteTrial(area, options);
        planner = new RoutePlanner(area, options, trial);
        shortest = ShortestInDeviations * options.Spread.Terms[0].RangeNanometres / Math.Sqrt(2);
    }

    /// <inheritdoc/>
    public void Begin(StrokesHeader header) => output.Begin(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items)
    {
        cancellation.ThrowIfCancellationRequested();
        int passed = 0;
        for (int i = 0; i < items.Length; i++)
        {
            ref readonly Stroke stroke = ref items[i];
            if (stroke.Kind is StrokeKind.Jump or StrokeKind.Await && beam is { } from)
            {
                ReadOnlySpan<RouteStep> steps = Lead(from, PlaceOf(stroke.XFemtometres, stroke.YFemtometres));
                if (steps.Length > 1)
                {
                    output.Write(items[passed..i]);
                    passed = i;
                    Send(stroke.Figure, steps[..^1]);
                }
            }

            beam = PlaceOf(stroke.EndXFemtometres, stroke.EndYFemtometres);
        }

        output.Write(items[passed..]);
    }

    /// <inheritdoc/>
    public void End() => output.End();

    private void Send(int figure, ReadOnlySpan<RouteStep> steps)
    {
        foreach (ref readonly RouteStep step in steps)
        {
            long x = (long)Math.Round(step.X / NanometresPerFemtometre);
            long y = (long)Math.Round(step.Y / NanometresPerFemtometre);
            output.Write([step.IsPassed ? Stroke.Via(figure, x, y) : Stroke.Jump(figure, x, y)]);
        }
    }

    /// <summary>The way of a jump; its last step is the jump itself.</summary>
    private ReadOnlySpan<RouteStep> Lead((double X, double Y) from, (double X, double Y) to)
    {
        RouteStep[] straight = [new RouteStep(to.X, to.Y, false)];
        double dx = to.X - from.X;
        double dy = to.Y - from.Y;
        if (dx * dx + dy * dy < shortest * shortest)
        {
            return straight;
        }

        ReadOnlySpan<RouteStep> best = straight;
        RouteScore score = trial.Judge(from, straight);
        if (score.Harm > 0)
        {
            best = CollectionsMarshal.AsSpan(planner.Find(from, to, ref score));
        }

        trial.Lay(from, best);
        return best;
    }

    private static (double X, double Y) PlaceOf(long xFemtometres, long yFemtometres) =>
        (xFemtometres * NanometresPerFemtometre, yFemtometres * NanometresPerFemtometre);
}
