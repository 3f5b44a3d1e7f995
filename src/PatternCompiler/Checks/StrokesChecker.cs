using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Checks;

/// <summary>
/// Passes strokes on unchanged and throws at the first that breaks the document's rules: beam on before the first move,
/// a charge below zero, a jump with charge, a point count that does not fit. Takes totals on the way.
/// </summary>
internal sealed class StrokesChecker : IDocumentSink<StrokesHeader, Stroke>
{
    private readonly IDocumentSink<StrokesHeader, Stroke>? next;
    private long jumps;
    private long vias;
    private bool isUnsettled;
    private bool waitsForTrigger;
    private long lines;
    private long dots;
    private long points;
    private long figureChanges;
    private int figure = -1;
    private Int128 charge;
    private long number;

    /// <summary>Checks in front of <paramref name="next"/>, or only checks if that is null.</summary>
    public StrokesChecker(IDocumentSink<StrokesHeader, Stroke>? next = null)
    {
        this.next = next;
    }

    /// <summary>What has passed so far.</summary>
    public StrokeTotals Totals => new(jumps, lines, dots, points, figureChanges, charge);

    /// <inheritdoc/>
    public void Begin(StrokesHeader header)
    {
        waitsForTrigger = header.WaitsForTrigger;
        next?.Begin(header);
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items)
    {
        foreach (ref readonly Stroke stroke in items)
        {
            Check(stroke);
        }

        next?.Write(items);
    }

    /// <inheritdoc/>
    public void End() => next?.End();

    private void Check(in Stroke stroke)
    {
        number = jumps + vias + lines + dots;
        if (stroke.Figure < 0)
        {
            throw Fault("its figure number is negative");
        }

        if (stroke.ChargeZeptocoulombs < 0)
        {
            throw Fault($"its charge is {stroke.ChargeZeptocoulombs} zC, below zero");
        }

        bool isPoint = stroke.XFemtometres == stroke.EndXFemtometres && stroke.YFemtometres == stroke.EndYFemtometres;
        switch (stroke.Kind)
        {
            case StrokeKind.Jump:
                Require(stroke.Points == 0 && stroke.ChargeZeptocoulombs == 0, "it is a jump, but it exposes points");
                Require(isPoint, "it is a jump with two places");
                jumps++;
                break;
            case StrokeKind.Via:
                Require(stroke.Points == 0 && stroke.ChargeZeptocoulombs == 0, "it is a via, but it exposes points");
                Require(isPoint, "it is a via with two places");
                Require(jumps > 0, "the beam passes a place before the first jump");
                vias++;
                break;
            case StrokeKind.Await:
                Require(stroke.Points == 0 && stroke.ChargeZeptocoulombs == 0, "it waits for a trigger, but it exposes points");
                Require(isPoint, "it is an await with two places");
                Require(waitsForTrigger, "it waits for a trigger, which the document's header does not say");
                Require(stroke.WaitPicoseconds >= 0, "its wait is below zero");
                jumps++;
                break;
            case StrokeKind.Dot:
                Require(stroke.Points == 1 && isPoint, "it is a dot, but not one point at one place");
                dots++;
                break;
            case StrokeKind.Line:
                Require(stroke.Points > 1 || (stroke.Points == 1 && isPoint), "it is a line without points, or with one point and two places");
                lines++;
                break;
            default:
                throw Fault($"its kind is {(int)stroke.Kind}, which does not exist");
        }

        Require(jumps > 0, "the beam is on before the first jump");
        Require(!isUnsettled || stroke.IsBlanked, "the beam is on before it has settled after a via");
        isUnsettled = stroke.Kind == StrokeKind.Via;
        if (stroke.Figure != figure)
        {
            figure = stroke.Figure;
            figureChanges++;
        }

        points += stroke.Points;
        charge += stroke.ChargeZeptocoulombs;
    }

    private void Require(bool holds, string fault)
    {
        if (!holds)
        {
            throw Fault(fault);
        }
    }

    private CompileException Fault(string message) =>
        new(CheckCodes.StrokeInvalid, message, new SourcePlace { Item = new(ItemKind.Stroke, number) });
}
