using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fields;

/// <summary>The registration marks of a field: made ones, the same in each, or those of a layer that the field holds.</summary>
internal sealed class MarkFigures
{
    private const double PicometresPerNanometre = 1000;

    private readonly long gridPicometres;
    private readonly int halfWidth;
    private readonly int halfHeight;
    private readonly List<Figure> made = [];
    private readonly List<Figure> drawn;
    private readonly bool[] isUsed;

    /// <param name="marks">Where they come from.</param>
    /// <param name="layer">Number of their layer.</param>
    /// <param name="input">The whole pattern.</param>
    /// <param name="halfWidth">Reach of a field.</param>
    /// <param name="halfHeight">Reach of a field.</param>
    public MarkFigures(FieldMarks marks, int layer, FiguresDocument input, int halfWidth, int halfHeight)
    {
        gridPicometres = input.Header.GridPicometres;
        this.halfWidth = halfWidth;
        this.halfHeight = halfHeight;
        drawn = marks.Places.IsEmpty ? [.. input.Figures.Where(figure => figure.Layer == layer)] : [];
        isUsed = new bool[drawn.Count];
        foreach ((double x, double y) in marks.Places)
        {
            Make(marks, layer, ToSteps(x), ToSteps(y));
        }
    }

    /// <summary>Marks of the field at a place, as seen from there.</summary>
    public IEnumerable<Figure> At(GridPoint centre)
    {
        foreach (Figure figure in made)
        {
            yield return figure;
        }

        for (int i = 0; i < drawn.Count; i++)
        {
            // Before the move: seen from a field at the other end of the pattern, a mark may be beyond all coordinates.
            GridBox box = FigureFrame.BoxOf(drawn[i]);
            if (Holds((long)box.XLeft - centre.X, (long)box.YBottom - centre.Y, (long)box.XRight - centre.X, (long)box.YTop - centre.Y))
            {
                isUsed[i] = true;
                yield return FigureFrame.From(drawn[i], centre);
            }
        }
    }

    /// <summary>Throws if a drawn mark was written in no field.</summary>
    public void RequireAllUsed()
    {
        int lost = Array.IndexOf(isUsed, false);
        if (lost >= 0)
        {
            GridBox box = FigureFrame.BoxOf(drawn[lost]);
            throw new CompileException(
                FieldCodes.CannotPlace,
                $"the registration mark at ({Um(((long)box.XLeft + box.XRight) / 2)}, {Um(((long)box.YBottom + box.YTop) / 2)}) um lies whole in no write field",
                fix: "move it, or let the fields share more ('fields.margin' in the job)");
        }
    }

    private void Make(FieldMarks marks, int layer, int x, int y)
    {
        int half = ToSteps(marks.SizeNanometres / 2);
        int bar = ToSteps(marks.BarNanometres / 2);
        if (!Holds((long)x - half, (long)y - half, (long)x + half, (long)y + half))
        {
            throw new CompileException(
                FieldCodes.CannotPlace,
                $"a registration mark of {Um(2L * half)} um at ({Um(x)}, {Um(y)}) um from the field's centre lies beyond the reach of {Um(halfWidth)} um by {Um(halfHeight)} um",
                fix: "move it inwards ('fields.marks.at' in the job), or enlarge the fields");
        }

        if (marks.Shape == MarkShape.Square || bar >= half)
        {
            Add(x - half, y - half, x + half, y + half);
            return;
        }

        Add(x - bar, y - half, x + bar, y - bar);
        Add(x - half, y - bar, x + half, y + bar);
        Add(x - bar, y + bar, x + bar, y + half);

        void Add(int left, int bottom, int right, int top) =>
            made.Add(Figure.FromTrapezoid(layer, DoseFactor.One, Trapezoid.FromRectangle(left, bottom, right, top)));
    }

    private bool Holds(long left, long bottom, long right, long top) =>
        left >= -halfWidth && right <= halfWidth && bottom >= -halfHeight && top <= halfHeight;

    private int ToSteps(double nanometres) => (int)Math.Clamp(
        Math.Round(nanometres * PicometresPerNanometre / gridPicometres, MidpointRounding.AwayFromZero), -GridPoint.Limit, GridPoint.Limit);

    private string Um(long steps) => LengthText.Micrometres(steps, gridPicometres);
}
