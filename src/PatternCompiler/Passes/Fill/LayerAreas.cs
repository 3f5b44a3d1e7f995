using PatternCompiler.Diagnostics;
using PatternCompiler.Limits;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fill;

/// <summary>What a strategy needs that writes the areas of a layer together.</summary>
/// <param name="Layer">Name of the layer.</param>
/// <param name="Plan">How it is written.</param>
/// <param name="Figures">All figures of the document.</param>
/// <param name="Numbers">Numbers of those on the layer.</param>
/// <param name="GridFemtometres">Size of a grid step.</param>
/// <param name="Writer">Takes the strokes.</param>
/// <param name="Strokes">Makes those of a single area.</param>
/// <param name="Tally">Counts what cannot be written as asked.</param>
/// <param name="Limits">How much work is allowed.</param>
/// <param name="Sink">Takes what is to be said once.</param>
/// <param name="Cancellation">Stops the work.</param>
internal sealed record LayerAreas(
    string Layer,
    LayerPlan Plan,
    IReadOnlyList<Figure> Figures,
    int[] Numbers,
    long GridFemtometres,
    StrokeWriter Writer,
    FigureStrokes Strokes,
    FillTally Tally,
    WorkLimits Limits,
    DiagnosticSink Sink,
    CancellationToken Cancellation)
{
    /// <summary>Numbers of the layer's areas.</summary>
    public int[] FindAreas() => Array.FindAll(Numbers, i => Figures[i].Kind == FigureKind.Trapezoid);
}
