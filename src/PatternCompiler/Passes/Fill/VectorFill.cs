using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fill;

/// <summary>Writes figures one by one.</summary>
internal sealed class VectorFill
{
    private readonly StrokeWriter writer;
    private readonly FigureStrokes strokes;
    private FigureKind lastKind = FigureKind.Dot;

    public VectorFill(StrokeWriter writer, FigureStrokes strokes)
    {
        this.writer = writer;
        this.strokes = strokes;
    }

    /// <summary>Writes one figure of any kind.</summary>
    /// <param name="figure">The figure.</param>
    /// <param name="number">Its number in the document.</param>
    /// <param name="plan">How its layer is written.</param>
    /// <param name="pass">Which pass over the layer, from 0.</param>
    /// <param name="backwards">From its end to its start.</param>
    public void Write(in Figure figure, int number, LayerPlan plan, int pass, bool backwards)
    {
        strokes.Make(figure, number, plan, pass);

        // Single lines that continue each other are one polyline: the beam may stay on. Everything else starts with a jump.
        if (figure.Kind != FigureKind.Line || lastKind != FigureKind.Line)
        {
            writer.BreakOff();
        }

        lastKind = figure.Kind;
        for (int i = 0; i < strokes.Count; i++)
        {
            if (plan.IsOneWay && strokes.StartsRow(i))
            {
                writer.BreakOff();
            }

            writer.Expose(strokes.At(i, backwards), strokes.Reach, strokes.Reach);
        }
    }
}
