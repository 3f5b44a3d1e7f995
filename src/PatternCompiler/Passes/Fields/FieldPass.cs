using System.Collections.Immutable;
using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Limits;
using PatternCompiler.Model.Figures;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fields;

/// <summary>
/// Divides figures into write fields: positions of the stage, each with what the beam writes from there. Rows of fields are
/// made first, then the fields of each row, with seams of their own. Together the fields hold exactly the figures that
/// came in, and a field holds nothing that the deflection does not reach.
/// </summary>
internal static class FieldPass
{
    private const double PicometresPerNanometre = 1000;
    private const double LargestStrayNanometres = 20;
    private const double LeastSpareNanometres = 100;

    /// <summary>Divides a document.</summary>
    /// <exception cref="CompileException">The settings do not go together, or something cannot be placed.</exception>
    public static DividedPattern Run(FiguresDocument input, FieldOptions options, DiagnosticSink sink, CancellationToken cancellation)
    {
        double grid = input.Header.GridPicometres;
        Check(options, grid);
        int halfWidth = Steps(options.WidthNanometres / 2, grid), halfHeight = Steps(options.HeightNanometres / 2, grid);
        (FiguresHeader header, int markLayer) = WithMarkLayer(input.Header, options.Marks);
        MarkFigures? marks = options.Marks is FieldMarks wanted ? new MarkFigures(wanted, markLayer, input, halfWidth, halfHeight) : null;
        List<Figure> figures = [.. input.Figures.Where(figure => figure.Layer != markLayer)];
        if (figures.Count == 0)
        {
            throw new CompileException(
                FieldCodes.NothingToDivide, "there is nothing to write but registration marks", fix: "choose the layers to write, or another layer of marks");
        }

        GridBox extent = FigureFrame.BoxAround(figures);
        int margin = Steps(options.MarginNanometres, grid);
        int step = Math.Max(1, Steps(options.StageStepNanometres, grid));
        FieldAxis columns = FieldAxis.Cover(
            extent.XLeft, extent.XRight, 2L * halfWidth, margin, step, First(options.FirstCentreNanometres?.X), "x", input.Header.GridPicometres);
        FieldAxis rows = FieldAxis.Cover(
            extent.YBottom, extent.YTop, 2L * halfHeight, margin, step, First(options.FirstCentreNanometres?.Y), "y", input.Header.GridPicometres);
        var seams = new SeamSettings(
            options.Seam,
            options.Seam == SeamKind.Butt ? 0 : Steps(options.SeamWidthNanometres, grid),
            options.TaperSteps,
            Steps(LargestStrayNanometres, grid),
            Math.Max(1, Steps(1000, grid)));
        Dictionary<WriteField, FiguresDocument> documents = [];
        WorkMeter fields = options.Limits.Meter(WorkKind.Fields);
        var isCut = new bool[figures.Count];
        int bent = Divide(figures, columns, rows, seams, isCut, (field, members) =>
        {
            fields.Add(1);
            documents.Add(field, new FiguresDocument(header, AsSeenFrom(field.Centre, members, marks, options.Marks?.AreFirst ?? false)));
        }, cancellation);
        marks?.RequireAllUsed();
        int cut = isCut.Count(figure => figure);
        IReadOnlyList<WriteField> route = StageRoute.Order([.. documents.Keys], options.Order, cancellation);
        var plan = new FieldPlan(input.Header.GridPicometres, halfWidth, halfHeight, [.. route]);
        sink.Note(FieldCodes.Divided, $"{CountText.Of(route.Count, "write field", "write fields")} in {CountText.Of(rows.Count, "row", "rows")} and {CountText.Of(columns.Count, "column", "columns")}; {cut} of {CountText.Of(figures.Count, "figure", "figures")} {CountText.Word(cut, "is", "are")} cut at seams");
        if (bent > 0)
        {
            sink.Note(
                FieldCodes.Bent,
                $"{CountText.Of(bent, "side that is nearly parallel to the fields' edges is", "sides that are nearly parallel to the fields' edges are")} bent to a grid point at a seam, by no more than half a grid step");
        }

        return new DividedPattern(plan, [.. route.Select(field => documents[field])], cut);

        long? First(double? nanometres) => nanometres is double value
            ? (long)Math.Round(value * PicometresPerNanometre / grid / step, MidpointRounding.AwayFromZero) * step
            : null;
    }

    private static int Divide(
        List<Figure> figures,
        FieldAxis columns,
        FieldAxis rows,
        SeamSettings seams,
        bool[] isCut,
        Action<WriteField, List<FieldPart>> take,
        CancellationToken cancellation)
    {
        FieldPart[] turned = [.. figures.Select((figure, number) => new FieldPart(FigureFrame.Transposed(figure), figure.DoseFactor, number))];
        AxisDivision inRows = AxisDivider.Run(turned, rows, seams, isCut, cancellation);
        int bent = inRows.Bent;
        for (int row = 0; row < rows.Count; row++)
        {
            if (inRows.Fields[row].Count == 0)
            {
                continue;
            }

            FieldPart[] upright = [.. inRows.Fields[row].Select(part => part with { Figure = FigureFrame.Transposed(part.Figure) })];
            AxisDivision inFields = AxisDivider.Run(upright, columns, seams, isCut, cancellation);
            bent += inFields.Bent;
            for (int column = 0; column < columns.Count; column++)
            {
                if (inFields.Fields[column].Count > 0)
                {
                    (int left, int right) = CellOf(columns, inFields.Seams, column);
                    (int bottom, int top) = CellOf(rows, inRows.Seams, row);
                    take(
                        new WriteField(
                            row,
                            column,
                            NameOf(row, column, rows.Count, columns.Count),
                            new GridPoint(columns.Centre(column), rows.Centre(row)),
                            new GridBox(left, bottom, right, top)),
                        inFields.Fields[column]);
                }
            }
        }

        return bent;
    }

    private static (int Low, int High) CellOf(FieldAxis axis, int[] seams, int index) => (
        index == 0 ? axis.Centre(index) - axis.Half : seams[index - 1],
        index == axis.Count - 1 ? axis.Centre(index) + axis.Half : seams[index]);

    /// <summary>As many digits as the largest number of the plan needs, and at least two, so that names sort.</summary>
    private static string NameOf(int row, int column, int rows, int columns)
    {
        string format = "D" + Math.Max(2, Math.Max(rows, columns).ToString(CultureInfo.InvariantCulture).Length).ToString(CultureInfo.InvariantCulture);
        return $"r{(row + 1).ToString(format, CultureInfo.InvariantCulture)}c{(column + 1).ToString(format, CultureInfo.InvariantCulture)}";
    }

    private static List<Figure> AsSeenFrom(GridPoint centre, List<FieldPart> members, MarkFigures? marks, bool marksAreFirst)
    {
        IEnumerable<Figure> own = members.Select(part => FigureFrame.From(part.Figure, centre));
        IEnumerable<Figure> extra = marks?.At(centre) ?? [];
        return [.. marksAreFirst ? extra.Concat(own) : own.Concat(extra)];
    }

    /// <summary>The layer of the marks, put first or last; made marks add it.</summary>
    private static (FiguresHeader Header, int MarkLayer) WithMarkLayer(FiguresHeader header, FieldMarks? marks)
    {
        if (marks is null)
        {
            return (header, -1);
        }

        int known = header.Layers.IndexOf(marks.Layer);
        if (marks.Places.IsEmpty)
        {
            return known >= 0
                ? (header, known)
                : throw new CompileException(
                    FieldCodes.CannotPlace,
                    $"the registration marks are to come from a layer '{marks.Layer}', but the figures have only {string.Join(", ", header.Layers.Select(l => $"'{l}'"))}",
                    fix: "correct the name, or say where marks are to be made ('fields.marks.at' in the job)");
        }

        return known < 0
            ? (header with { Layers = header.Layers.Add(marks.Layer) }, header.Layers.Length)
            : throw new CompileException(
                FieldCodes.CannotPlace,
                $"registration marks are to be made on the layer '{marks.Layer}', which the pattern uses already",
                fix: "give them a layer of their own");
    }

    private static void Check(FieldOptions options, double grid)
    {
        double largest = GridPoint.Limit * grid / PicometresPerNanometre;
        double smallest = Math.Min(options.WidthNanometres, options.HeightNanometres);
        double strip = options.Seam == SeamKind.Butt ? 0 : options.SeamWidthNanometres;
        if (Math.Max(options.WidthNanometres, options.HeightNanometres) > largest)
        {
            throw Bad($"a write field cannot be larger than {Um(largest)} um on this grid", "make it smaller, or read the drawing on a coarser grid");
        }

        if (options.MarginNanometres < strip + LeastSpareNanometres)
        {
            throw Bad(
                $"neighbouring write fields share {Um(options.MarginNanometres)} um, but their seams need {Um(strip + LeastSpareNanometres)} um",
                "enlarge the margin, so that seams can avoid small features");
        }

        if (options.MarginNanometres > smallest / 2)
        {
            throw Bad(
                $"neighbouring write fields share {Um(options.MarginNanometres)} um of their {Um(smallest)} um", "let them share less than half of their size");
        }

        if (options.FirstCentreNanometres is (double x, double y) && Math.Max(Math.Abs(x), Math.Abs(y)) > largest)
        {
            throw Bad(
                $"the first write field is to be centred at ({Um(x)}, {Um(y)}) um, but coordinates on this grid end at {Um(largest)} um",
                "correct 'fields.first' in the job, or leave it out to centre the fields on the pattern");
        }

        if (options.Seam != SeamKind.Butt && !(strip > 0))
        {
            throw Bad("the strip that both fields write at a seam has no width", "give it a width, or let the parts meet edge to edge");
        }
    }

    private static CompileException Bad(string message, string fix) => new(FieldCodes.BadSetting, message, fix: fix);

    private static string Um(double nanometres) => NumberText.Format(nanometres / 1000);

    private static int Steps(double nanometres, double gridPicometres) =>
        (int)Math.Min(GridPoint.Limit, Math.Round(nanometres * PicometresPerNanometre / gridPicometres, MidpointRounding.AwayFromZero));
}

/// <summary>A pattern in write fields.</summary>
/// <param name="Plan">The fields.</param>
/// <param name="Figures">The figures of each field, in the plan's order, with the field's centre at the origin.</param>
/// <param name="Cut">Number of figures that had to be cut.</param>
internal sealed record DividedPattern(FieldPlan Plan, ImmutableArray<FiguresDocument> Figures, int Cut);

/// <summary>How seams are made, in grid steps.</summary>
/// <param name="Kind">What happens at a seam.</param>
/// <param name="Width">Width of the strip that both fields write; 0 for none.</param>
/// <param name="Steps">Dose steps of a taper.</param>
/// <param name="Stray">Largest distance by which a cut leaves the seam to save a sliver.</param>
/// <param name="Micrometre">Grid steps of a micrometre.</param>
internal sealed record SeamSettings(SeamKind Kind, int Width, int Steps, int Stray, long Micrometre);
