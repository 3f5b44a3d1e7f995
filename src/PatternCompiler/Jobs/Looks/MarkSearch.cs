using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Limits;
using PatternCompiler.Measure;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Prediction;

namespace PatternCompiler.Jobs.Looks;

/// <summary>
/// Finds the mark in the picture of each window by what 'measure' does with any picture, and says where the beam was when it found its
/// middle.
/// </summary>
internal static class MarkSearch
{
    // A picture's middle may lie off its mark by a little more than the layer may.
    private const double Room = 1.25;

    /// <summary>The table that 'fit alignment' takes; a mark that was not found has no place.</summary>
    /// <param name="plan">The look.</param>
    /// <param name="pictures">A picture for each mark, with its file; null for one that there is no picture of.</param>
    /// <param name="limits">On the work that the marks' drawing may ask for, and what else measuring takes.</param>
    /// <param name="sink">Takes why a mark was not found.</param>
    /// <param name="cancellation">Stops the work.</param>
    public static string Table(LookPlan plan, ImmutableArray<(Micrograph Picture, string Name)?> pictures, WorkLimits limits, DiagnosticSink sink, CancellationToken cancellation)
    {
        var text = new StringBuilder("mark, wanted x [um], wanted y [um], found x [um], found y [um], uncertainty x [nm], uncertainty y [nm]\n");
        for (int i = 0; i < plan.Look.Marks.Length; i++)
        {
            LookMark mark = plan.Look.Marks[i];
            (double X, double Y, double ErrorX, double ErrorY)? found = null;
            if (pictures[i] is var (picture, name))
            {
                try
                {
                    found = Find(plan, mark, picture, name, limits, cancellation);
                }
                catch (CompileException fault)
                {
                    sink.Warn(
                        LookCodes.NotFound,
                        $"mark '{mark.Name}' was not found: {fault.Diagnostic.Message}",
                        new SourcePlace(name),
                        "look again, with a larger window or a longer dwell; without it the alignment is that of the other marks");
                }
            }

            text.Append(CultureInfo.InvariantCulture, $"{mark.Name}, {Micrometres(mark.XNanometres)}, {Micrometres(mark.YNanometres)}, ");
            text.Append(found is var (x, y, errorX, errorY)
                ? string.Create(CultureInfo.InvariantCulture, $"{Micrometres(x)}, {Micrometres(y)}, {errorX:0.###}, {errorY:0.###}\n")
                : ", , ,\n");
        }

        return text.ToString();
    }

    private static (double X, double Y, double ErrorX, double ErrorY) Find(
        LookPlan plan, LookMark mark, Micrograph picture, string name, WorkLimits limits, CancellationToken cancellation)
    {
        LookSettings look = plan.Look;
        double pixel = look.Points * look.StepNanometres / picture.Width;
        double reach = Room * look.WithinNanometres;
        var options = new MeasureOptions(pixel, MapFreedom.Rigid)
        {
            Limits = limits,
            Window = new SampleWindow(mark.XNanometres - reach, mark.YNanometres - reach, mark.XNanometres + reach, mark.YNanometres + reach),
        };

        // That a scale would fit better is no matter here: it moves all edges of a cross outward.
        MeasuredPicture measured = MicrographMeasurement.Run(picture, plan.Marks, options, name, new DiagnosticSink(), cancellation);
        MeasuredCross cross = measured.Crosses.MinBy(Distance) ?? throw new CompileException(
            MeasureCodes.NotInPicture, "no cross with edges on all sides was found in this picture", new SourcePlace(name));

        // From the drawing back into the picture, which lies where the window is asked to be. A cross that is drawn beside the place of its mark is printed
        // beside it.
        (double u, double v) = measured.Map.ToPicture(cross.MeasuredX, cross.MeasuredY);
        double x = mark.XNanometres + (u * pixel) + (mark.XNanometres - cross.XNanometres);
        double y = mark.YNanometres + (v * pixel) + (mark.YNanometres - cross.YNanometres);
        return (x, y, cross.ErrorX, cross.ErrorY);

        double Distance(MeasuredCross at) => Math.Max(Math.Abs(at.XNanometres - mark.XNanometres), Math.Abs(at.YNanometres - mark.YNanometres));
    }

    private static string Micrometres(double nanometres) => (Math.Round(nanometres / 1000, 6, MidpointRounding.AwayFromZero) + 0.0).ToString("0.######", CultureInfo.InvariantCulture);
}
