using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Passes.Fill;

/// <summary>Writes figures one by one.</summary>
internal sealed class VectorFill
{
    private readonly StrokeWriter writer;
    private readonly FigureStrokes strokes;
    private readonly SubfieldStrokes? subfields;
    private FigureKind lastKind = FigureKind.Dot;

    /// <param name="writer">Takes the strokes.</param>
    /// <param name="strokes">Makes them.</param>
    /// <param name="subfields">Puts those of a figure into the order of sub-fields, or null.</param>
    public VectorFill(StrokeWriter writer, FigureStrokes strokes, SubfieldStrokes? subfields)
    {
        this.subfields = subfields;
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
        writer.Begin(TriggerUnit.Figure);
        if (subfields is not null)
        {
            WriteBySubfield(subfields, plan, backwards);
            return;
        }

        for (int i = 0; i < strokes.Count; i++)
        {
            BeginRow(strokes.StartsRow(i, backwards), plan);

            writer.Expose(strokes.At(i, backwards), strokes.Reach, strokes.Reach);
        }
    }

    private void WriteBySubfield(SubfieldStrokes order, LayerPlan plan, bool backwards)
    {
        order.Clear();
        for (int i = 0; i < strokes.Count; i++)
        {
            order.Add(strokes.At(i, backwards), strokes.StartsRow(i, backwards));
        }

        bool isFirst = true;
        foreach (List<(Stroke Stroke, bool StartsRow)> cell in order.InOrder)
        {
            if (!isFirst)
            {
                writer.BreakOff();
            }

            isFirst = false;
            foreach ((Stroke stroke, bool startsRow) in cell)
            {
                BeginRow(startsRow, plan);
                writer.Expose(stroke, strokes.Reach, strokes.Reach);
            }
        }
    }

    private void BeginRow(bool startsRow, LayerPlan plan)
    {
        if (!startsRow)
        {
            return;
        }

        writer.Begin(TriggerUnit.Row);
        if (plan.IsOneWay)
        {
            writer.BreakOff();
        }
    }
}
