using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fields;

/// <summary>
/// Divides figures among the fields along x. What hangs together stays together where one field holds it. Of what does
/// not fit, the figures that fit neither are cut at the seams; those that are left over hang together in smaller parts, which
/// again stay together where one field holds them.
/// </summary>
internal sealed class AxisDivider
{
    private const int Cuts = -1;

    private readonly FieldAxis axis;
    private readonly SeamSettings settings;
    private readonly FigureCut cutter;
    private readonly int longestRun;
    private readonly List<FieldPart>[] fields;
    private DoseFactor drawn;
    private int number;

    private AxisDivider(FieldAxis axis, SeamSettings settings)
    {
        this.axis = axis;
        this.settings = settings;

        // Half of what neighbours share, less half of a shared strip: as far as a cut may stray from a seam in the middle.
        longestRun = Math.Max(0, axis.Half - ((axis.Pitch + settings.Width + 1) / 2) - 1);
        cutter = new FigureCut(settings.Stray, longestRun);
        fields = [.. Enumerable.Range(0, axis.Count).Select(_ => new List<FieldPart>())];
    }

    /// <summary>Divides them.</summary>
    /// <param name="parts">Figures, or what a row has of them.</param>
    /// <param name="axis">The fields.</param>
    /// <param name="settings">What happens at seams.</param>
    /// <param name="isCut">By the number of a figure: set where it is cut.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public static AxisDivision Run(
        IReadOnlyList<FieldPart> parts, FieldAxis axis, SeamSettings settings, bool[] isCut, CancellationToken cancellation)
    {
        var divider = new AxisDivider(axis, settings);
        Figure[] figures = [.. parts.Select(part => part.Figure)];
        GridBox[] boxes = [.. figures.Select(figure => FigureFrame.BoxOf(figure))];
        int[] homes = divider.FindHomes(figures, boxes);
        cancellation.ThrowIfCancellationRequested();
        int[] seams = divider.ChooseSeams(figures, boxes, homes);
        for (int i = 0; i < figures.Length; i++)
        {
            (divider.drawn, divider.number) = (parts[i].Drawn, parts[i].Number);
            if (homes[i] != Cuts)
            {
                divider.fields[homes[i]].Add(parts[i]);
            }
            else
            {
                isCut[parts[i].Number] |= divider.Divide(figures[i], seams) > 1;
            }
        }

        return new AxisDivision(divider.fields, seams, divider.cutter.Bent);
    }

    /// <summary>The field of every figure that stays whole, <see cref="Cuts"/> for the others.</summary>
    private int[] FindHomes(Figure[] figures, GridBox[] boxes)
    {
        var homes = new int[figures.Length];
        if (axis.Count == 1)
        {
            return homes;
        }

        Array.Fill(homes, Cuts);
        int[] all = [.. Enumerable.Range(0, figures.Length)];
        KeepTogether(figures, boxes, all, homes);
        KeepTogether(figures, boxes, [.. all.Where(i => homes[i] == Cuts && axis.Home(boxes[i].XLeft, boxes[i].XRight) >= 0)], homes);
        return homes;
    }

    private void KeepTogether(Figure[] figures, GridBox[] boxes, int[] members, int[] homes)
    {
        int[] parts = FigureParts.Find(figures, members);
        var extents = new Dictionary<int, (int Low, int High)>();
        foreach (int i in members)
        {
            (int low, int high) = extents.GetValueOrDefault(parts[i], (int.MaxValue, int.MinValue));
            extents[parts[i]] = (Math.Min(low, boxes[i].XLeft), Math.Max(high, boxes[i].XRight));
        }

        foreach (int i in members)
        {
            (int low, int high) = extents[parts[i]];
            homes[i] = axis.Home(low, high);
        }
    }

    private int[] ChooseSeams(Figure[] figures, GridBox[] boxes, int[] homes)
    {
        var seams = new int[axis.Count - 1];
        for (int i = 0; i < seams.Length; i++)
        {
            int low = axis.Centre(i + 1) - axis.Half, high = axis.Centre(i) + axis.Half;
            int[] near = [.. Enumerable.Range(0, boxes.Length).Where(k => boxes[k].XRight > low && boxes[k].XLeft < high)];

            // A cut strays from the seam by what a side runs over one grid step, and stays within reach of both fields.
            long stray = near.Where(k => homes[k] == Cuts).Select(k => RunOf(figures[k])).Append(settings.Stray).Max();
            long room = Math.Min((settings.Width / 2) + stray, (high - low) / 2);
            seams[i] = SeamChoice.Find(
                near.Select(k => new SeamNeighbour(figures[k].Layer, boxes[k], homes[k] == Cuts)), (int)(low + room), (int)(high - room), settings.Micrometre);
        }

        return seams;
    }

    private long RunOf(in Figure figure) => figure.Kind != FigureKind.Trapezoid || figure.IsTransposed
        ? 0
        : new[] { FigureCut.RunOf(figure.Shape.Left), FigureCut.RunOf(figure.Shape.Right) }.Where(run => run <= longestRun).DefaultIfEmpty(0).Max();

    /// <summary>Cuts a figure at all seams that it meets; returns into how many parts.</summary>
    private int Divide(in Figure figure, int[] seams)
    {
        int parts = 0;
        cutter.BeginFigure();
        List<Figure> rest = [figure];
        for (int i = 0; i < seams.Length && rest.Count > 0; i++)
        {
            rest = settings.Kind switch
            {
                SeamKind.Overlap => Overlap(rest, seams[i], i, ref parts),
                SeamKind.Taper => Taper(rest, seams[i], i, ref parts),
                _ => Butt(rest, seams[i], i, ref parts),
            };
        }

        Give(rest, axis.Count - 1, ref parts);
        return parts;
    }

    private List<Figure> Butt(List<Figure> figures, int seam, int field, ref int parts)
    {
        (List<Figure> left, List<Figure> right) = Cut(figures, seam);
        Give(left, field, ref parts);
        return right;
    }

    private List<Figure> Overlap(List<Figure> figures, int seam, int field, ref int parts)
    {
        int start = seam - (settings.Width / 2);
        (List<Figure> left, List<Figure> right) = Cut(figures, start);
        Give(left, field, ref parts);
        (List<Figure> shared, _) = Cut(right, start + settings.Width);
        Give(shared, field, ref parts);
        return right;
    }

    private List<Figure> Taper(List<Figure> figures, int seam, int field, ref int parts)
    {
        int start = seam - (settings.Width / 2);
        (List<Figure> left, List<Figure> rest) = Cut(figures, start);
        Give(left, field, ref parts);
        for (int step = 0; step < settings.Steps && rest.Count > 0; step++)
        {
            (List<Figure> strip, rest) = Cut(rest, (int)(start + ((long)settings.Width * (step + 1) / settings.Steps)));
            foreach (Figure part in strip)
            {
                (DoseFactor falling, DoseFactor rising) = Shares(part.DoseFactor, step);
                GiveShare(part with { DoseFactor = falling }, field, ref parts);
                GiveShare(part with { DoseFactor = rising }, field + 1, ref parts);
            }
        }

        return rest;
    }

    /// <summary>
    /// The doses of a strip in the two fields; together exactly the whole. Where two tapers cross, a share below the smallest
    /// of a single taper is left to the other field: it would only ask for dwells that no controller makes.
    /// </summary>
    private (DoseFactor Falling, DoseFactor Rising) Shares(DoseFactor dose, int step)
    {
        long halves = 2L * settings.Steps;
        long least = drawn.Millionths / halves;
        long falling = ((dose.Millionths * (halves - (2 * step) - 1)) + settings.Steps) / halves;
        long rising = dose.Millionths - falling;
        (falling, rising) = falling < Math.Min(least, rising) ? (0, dose.Millionths) : rising < least ? (dose.Millionths, 0) : (falling, rising);
        return (new((int)falling), new((int)rising));
    }

    private (List<Figure> Left, List<Figure> Right) Cut(List<Figure> figures, int seam)
    {
        List<Figure> left = [], right = [];
        foreach (Figure figure in figures)
        {
            cutter.Cut(figure, seam, left, right);
        }

        return (StackedParts.Join(left), StackedParts.Join(right));
    }

    private void Give(List<Figure> figures, int field, ref int parts)
    {
        foreach (Figure figure in figures)
        {
            Give(figure, field, ref parts);
        }
    }

    private void Give(in Figure figure, int field, ref int parts)
    {
        GridBox box = FigureFrame.BoxOf(figure);
        if (box.XLeft < axis.Centre(field) - axis.Half || box.XRight > axis.Centre(field) + axis.Half)
        {
            throw new CompileException(
                FieldCodes.CannotPlace,
                "a figure is thinner than a few grid steps where a seam must cut it",
                SourcePlace.OfFigure(number),
                fix: "read the drawing on a finer grid ('grid' in the job), or let the fields share more");
        }

        fields[field].Add(new FieldPart(figure, drawn, number));
        parts++;
    }

    private void GiveShare(in Figure figure, int field, ref int parts)
    {
        if (figure.DoseFactor.Millionths > 0)
        {
            Give(figure, field, ref parts);
        }
    }
}

/// <summary>Figures divided along one axis.</summary>
/// <param name="Fields">The figures of each field, in the order in which they came.</param>
/// <param name="Seams">The seams between the fields.</param>
/// <param name="Bent">How many sides were bent to a grid point at a seam.</param>
internal sealed record AxisDivision(List<FieldPart>[] Fields, int[] Seams, int Bent);

/// <summary>A figure, or what a field has of it.</summary>
/// <param name="Figure">What is written.</param>
/// <param name="Drawn">The dose of the whole figure, of which tapers leave a share.</param>
/// <param name="Number">Which figure of the pattern it is or comes from.</param>
internal readonly record struct FieldPart(Figure Figure, DoseFactor Drawn, int Number);
