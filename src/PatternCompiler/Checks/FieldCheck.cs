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
    public static void Run(FiguresDocument figures, DacMapping mapping)
    {
        double femtometres = figures.Header.GridPicometres * 1000.0;
        int lastCode = mapping.Dac.CodeCount - 1;
        int first = -1;
        CompileException? notFollowed = null;
        double beyondX = 0;
        double beyondY = 0;
        var checker = new FiguresChecker();
        checker.Begin(figures.Header);
        Span<(double X, double Y)> corners = stackalloc (double, double)[4];
        for (int i = 0; i < figures.Figures.Count; i++)
        {
            Figure figure = figures.Figures[i];
            checker.Write([figure]);
            int count = FigureCorners.Write(figure, corners);
            foreach ((double x, double y) in corners[..count])
            {
                (double codeX, double codeY) = mapping.CodesAt((long)Math.Round(x * femtometres), (long)Math.Round(y * femtometres));
                if (notFollowed is null && !double.IsNaN(codeX) && !(mapping.UsableX.Holds(DacMapping.Nearest(codeX)) && mapping.UsableY.Holds(DacMapping.Nearest(codeY))))
                {
                    (long atX, long atY) = ((long)Math.Round(x * femtometres), (long)Math.Round(y * femtometres));
                    notFollowed = ScaleFault.NotFollowed(
                        SourcePlace.OfPoint(figures.Header.Layers[figure.Layer], x * femtometres / 1e6, y * femtometres / 1e6, i), atX, atY, mapping, codeX, codeY);
                }

                double outsideX = Beyond(codeX, lastCode);
                double outsideY = Beyond(codeY, lastCode);
                if (first < 0 && (outsideX > 0 || outsideY > 0))
                {
                    first = i;
                }

                beyondX = Math.Max(beyondX, outsideX);
                beyondY = Math.Max(beyondY, outsideY);
            }
        }

        if (first >= 0)
        {
            throw Fault(figures, checker.Totals, mapping, first, beyondX, beyondY);
        }

        if (notFollowed is not null)
        {
            throw notFollowed;
        }
    }

    /// <summary>Codes beyond either end of the range, 0 inside; the nearest whole code decides.</summary>
    private static double Beyond(double code, int lastCode) =>
        DacMapping.Nearest(code) < 0 ? -code : DacMapping.Nearest(code) > lastCode ? code - lastCode : 0;

    private static CompileException Fault(
        FiguresDocument figures, FigureTotals totals, DacMapping mapping, int first, double beyondX, double beyondY)
    {
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
}
