using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Checks;

/// <summary>
/// Passes figures on unchanged and throws at the first that breaks the document's rules: a layer that is not declared, a
/// coordinate out of range, parallel sides in the wrong order, sides that do not span them or cross. Takes totals on
/// the way.
/// </summary>
internal sealed class FiguresChecker : IDocumentSink<FiguresHeader, Figure>
{
    private readonly IDocumentSink<FiguresHeader, Figure>? next;
    private FiguresHeader? header;
    private long trapezoids;
    private long lines;
    private long dots;
    private (double X, double Y) lowest = (double.PositiveInfinity, double.PositiveInfinity);
    private (double X, double Y) highest = (double.NegativeInfinity, double.NegativeInfinity);

    /// <summary>Checks in front of <paramref name="next"/>, or only checks if that is null.</summary>
    public FiguresChecker(IDocumentSink<FiguresHeader, Figure>? next = null)
    {
        this.next = next;
    }

    /// <summary>What has passed so far.</summary>
    public FigureTotals Totals
    {
        get
        {
            double nanometres = (header?.GridPicometres ?? 0) / 1000.0;
            bool any = lowest.X <= highest.X;
            return new(
                trapezoids + lines + dots,
                trapezoids,
                lines,
                dots,
                any ? lowest.X * nanometres : 0,
                any ? lowest.Y * nanometres : 0,
                any ? highest.X * nanometres : 0,
                any ? highest.Y * nanometres : 0);
        }
    }

    /// <inheritdoc/>
    public void Begin(FiguresHeader header)
    {
        this.header = header;
        next?.Begin(header);
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Figure> items)
    {
        foreach (ref readonly Figure figure in items)
        {
            Check(figure);
        }

        next?.Write(items);
    }

    /// <inheritdoc/>
    public void End() => next?.End();

    private void Check(in Figure figure)
    {
        if (figure.Layer < 0 || figure.Layer >= header!.Layers.Length)
        {
            throw Fault($"it is on layer number {figure.Layer}, but the document has {header!.Layers.Length} layers");
        }

        if (figure.DoseFactor.Millionths < 0)
        {
            throw Fault("its dose factor is negative");
        }

        switch (figure.Kind)
        {
            case FigureKind.Trapezoid:
                CheckTrapezoid(figure.Shape);
                trapezoids++;
                break;
            case FigureKind.Line:
                CheckInRange(figure.Start);
                CheckInRange(figure.End);
                lines++;
                break;
            case FigureKind.Dot:
                CheckInRange(figure.Start);
                dots++;
                break;
            default:
                throw Fault($"its kind is {(int)figure.Kind}, which does not exist");
        }

        Span<(double X, double Y)> corners = stackalloc (double, double)[4];
        int count = FigureCorners.Write(figure, corners);
        foreach ((double x, double y) in corners[..count])
        {
            lowest = (Math.Min(lowest.X, x), Math.Min(lowest.Y, y));
            highest = (Math.Max(highest.X, x), Math.Max(highest.Y, y));
        }
    }

    private void CheckTrapezoid(in Trapezoid shape)
    {
        CheckInRange(shape.Left.Lower);
        CheckInRange(shape.Left.Upper);
        CheckInRange(shape.Right.Lower);
        CheckInRange(shape.Right.Upper);
        if (FigureRules.FaultOf(shape) is string fault)
        {
            throw Fault(fault);
        }
    }

    private void CheckInRange(GridPoint point)
    {
        if (!point.IsInRange)
        {
            throw Fault($"the point {point} is beyond the largest coordinate");
        }
    }

    private CompileException Fault(string message) =>
        new(CheckCodes.FigureInvalid, message, SourcePlace.OfFigure(trapezoids + lines + dots));
}
