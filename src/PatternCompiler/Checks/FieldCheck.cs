using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Units;

namespace PatternCompiler.Checks;

/// <summary>Sees, before anything is written, whether the whole pattern lies where the converters reach.</summary>
internal static class FieldCheck
{
    /// <summary>Throws one error about the whole pattern if a figure's corner needs a code that does not exist.</summary>
    public static void Run(FiguresDocument figures, DacMapping mapping, CancellationToken cancellation = default)
    {
        var found = new Reach[FigureChunks.Count(figures.Figures.Count)];
        FigureChunks.ForParts(figures.Figures.Count, (part, first, end) => found[part] = ReachOf(figures, mapping, first, end), cancellation);
        Reach all = found.Aggregate(Reach.Inside, (before, after) => before.With(after));
        if (all.FirstBeyond is int beyond)
        {
            throw Fault(figures, mapping, beyond, all.BeyondX, all.BeyondY);
        }

        if (all.NotFollowed is not null)
        {
            throw all.NotFollowed;
        }
    }

    private static Reach ReachOf(FiguresDocument figures, DacMapping mapping, int first, int end)
    {
        double femtometres = figures.Header.GridPicometres * 1000.0;
        int lastCode = mapping.Dac.CodeCount - 1;
        Reach reach = Reach.Inside;
        Span<(double X, double Y)> corners = stackalloc (double, double)[4];
        for (int i = first; i < end; i++)
        {
            Figure figure = figures.Figures[i];
            int count = FigureCorners.Write(figure, corners);
            foreach ((double x, double y) in corners[..count])
            {
                (long atX, long atY) = ((long)Math.Round(x * femtometres), (long)Math.Round(y * femtometres));
                (double codeX, double codeY) = mapping.CodesAt(atX, atY);
                if (reach.NotFollowed is null && !double.IsNaN(codeX) && !(mapping.UsableX.Holds(DacMapping.Nearest(codeX)) && mapping.UsableY.Holds(DacMapping.Nearest(codeY))))
                {
                    var place = SourcePlace.OfPoint(figures.Header.Layers[figure.Layer], x * femtometres / 1e6, y * femtometres / 1e6, i);
                    reach = reach with { NotFollowed = ScaleFault.NotFollowed(place, atX, atY, mapping, codeX, codeY) };
                }

                (double beyondX, double beyondY) = (Beyond(codeX, lastCode), Beyond(codeY, lastCode));
                if (beyondX > 0 || beyondY > 0)
                {
                    reach = new(reach.FirstBeyond ?? i, Math.Max(reach.BeyondX, beyondX), Math.Max(reach.BeyondY, beyondY), reach.NotFollowed);
                }
            }
        }

        return reach;
    }

    /// <summary>Codes beyond either end of the range, 0 inside; the nearest whole code decides.</summary>
    private static double Beyond(double code, int lastCode) =>
        DacMapping.Nearest(code) < 0 ? -code : DacMapping.Nearest(code) > lastCode ? code - lastCode : 0;

    private static CompileException Fault(
        FiguresDocument figures, DacMapping mapping, int first, double beyondX, double beyondY)
    {
        var checker = new FiguresChecker();
        figures.PushTo(checker, CancellationToken.None);
        FigureTotals totals = checker.Totals;
        double width = totals.XRightNanometres - totals.XLeftNanometres;
        double height = totals.YTopNanometres - totals.YBottomNanometres;
        double fieldWidth = mapping.Deflection.FieldWidthNanometres;
        double fieldHeight = mapping.Deflection.FieldHeightNanometres;
        (double overX, double overY) = mapping.Deflection.SwapAxes
            ? (beyondY * Math.Abs(mapping.NanometresPerCodeY), beyondX * Math.Abs(mapping.NanometresPerCodeX))
            : (beyondX * Math.Abs(mapping.NanometresPerCodeX), beyondY * Math.Abs(mapping.NanometresPerCodeY));
        string[] over = [.. new[] { (overX, "x"), (overY, "y") }.Where(part => part.Item1 > 0).Select(part => $"{Um(part.Item1)} um in {part.Item2}")];
        Figure figure = figures.Figures[first];
        (double X, double Y) inner = FigureCorners.InnerPoint(figure);
        double nanometres = figures.Header.GridPicometres / 1000.0;
        bool fitsCentred = width < fieldWidth && height < fieldHeight;
        return new CompileException(
            CheckCodes.BeyondField,
            $"the pattern is {Um(width)} um wide and {Um(height)} um high, from ({Um(totals.XLeftNanometres)}, {Um(totals.YBottomNanometres)}) "
            + $"to ({Um(totals.XRightNanometres)}, {Um(totals.YTopNanometres)}) um, and reaches beyond the field of {Um(fieldWidth)} um by {Um(fieldHeight)} um about its centre by {string.Join(" and ", over)}",
            SourcePlace.OfPoint(figures.Header.Layers[figure.Layer], inner.X * nanometres, inner.Y * nanometres, first),
            fitsCentred
                ? "it would fit when centred ('--position centred', or 'position: centred' in the job)"
                : "enlarge the field in the machine file (a lower magnification), or write it in several positions of the stage ('fields' in the job)");
    }

    private static string Um(double nanometres) =>
        NumberText.Format(Math.Round(nanometres / 1000, 4, MidpointRounding.AwayFromZero));

    /// <summary>How far some figures reach.</summary>
    /// <param name="FirstBeyond">The first with a corner beyond the codes, or null.</param>
    /// <param name="BeyondX">Most codes beyond the range of the x converter.</param>
    /// <param name="BeyondY">Most codes beyond the range of the y converter.</param>
    /// <param name="NotFollowed">The first corner at codes that the amplifiers do not follow.</param>
    private sealed record Reach(int? FirstBeyond, double BeyondX, double BeyondY, CompileException? NotFollowed)
    {
        public static Reach Inside { get; } = new(null, 0, 0, null);

        /// <summary>With figures that come later in the document.</summary>
        public Reach With(Reach later) =>
            new(FirstBeyond ?? later.FirstBeyond, Math.Max(BeyondX, later.BeyondX), Math.Max(BeyondY, later.BeyondY), NotFollowed ?? later.NotFollowed);
    }
}
