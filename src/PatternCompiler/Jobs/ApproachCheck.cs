using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Sees that every figure can be approached from where the machine file wants it.</summary>
internal static class ApproachCheck
{
    private const double NanometresPerFemtometre = 1e-6;

    /// <summary>Throws if a corner of a figure lies so near to the edge of the field that its approach would begin beyond it.</summary>
    public static void Run(FiguresDocument figures, Machine machine)
    {
        long approach = StageOptions.ApproachFemtometres(machine);
        if (approach == 0)
        {
            return;
        }

        var mapping = new DacMapping(machine.Dac, machine.Deflection);
        double femtometres = figures.Header.GridPicometres * 1000.0;
        Span<(double X, double Y)> corners = stackalloc (double, double)[4];
        for (int i = 0; i < figures.Figures.Count; i++)
        {
            Figure figure = figures.Figures[i];
            foreach ((double x, double y) in corners[..FigureCorners.Write(figure, corners)])
            {
                (double codeX, double codeY) = mapping.CodesAt((long)Math.Round(x * femtometres) - approach, (long)Math.Round(y * femtometres) - approach);
                if (!mapping.Reaches(codeX, codeY))
                {
                    throw new CompileException(
                        OrderCodes.NoRoomToApproach,
                        $"({Micrometres(x)}, {Micrometres(y)}) um lies too near to the left or lower edge of the field to be approached from {Micrometres(approach / femtometres)} um to the left of and below it",
                        SourcePlace.OfPoint(figures.Header.Layers[figure.Layer], x * femtometres * NanometresPerFemtometre, y * femtometres * NanometresPerFemtometre, i),
                        "move the drawing or make its write fields smaller, or shorten 'settle.approach' in the machine file");
                }
            }
        }

        string Micrometres(double steps) => NumberText.Format(Math.Round(steps * femtometres * NanometresPerFemtometre / 1000, 4, MidpointRounding.AwayFromZero));
    }
}
