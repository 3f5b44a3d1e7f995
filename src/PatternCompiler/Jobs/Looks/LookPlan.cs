using System.Collections.Immutable;
using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Looks;

/// <summary>
/// A look that has been judged: every window holds its mark, meets nothing that either layer writes, lies in the field, and the looks
/// together stay away from the onset of the resist.
/// </summary>
/// <param name="Look">What is looked at.</param>
/// <param name="Marks">The layer below with its marks alone.</param>
/// <param name="DoseOfOnset">Dose of all looks, as a part of that from which the resist changes.</param>
/// <param name="DoseCoulombsPerSquareMetre">Dose of one look.</param>
internal sealed record LookPlan(LookSettings Look, FlatLayout Marks, double DoseOfOnset, double DoseCoulombsPerSquareMetre)
{
    /// <summary>All looks may bring this part of the onset: common practice, no source.</summary>
    public const double LargestDoseOfOnset = 0.5;

    private const int CornersOfCross = 12;
    private const double SquareMetresPerSquareNanometre = 1e-18;

    /// <summary>Judges a job's look.</summary>
    /// <param name="settings">Job, machine and process.</param>
    /// <param name="files">Where drawings are.</param>
    /// <param name="sink">Takes what drawings tell.</param>
    /// <param name="cancellation">Stops the work.</param>
    /// <exception cref="CompileException">The look would expose something, or finds nothing.</exception>
    public static LookPlan Of(BuildSettings settings, IBuildFiles files, DiagnosticSink sink, CancellationToken cancellation)
    {
        Job job = settings.Job;
        var place = new SourcePlace(job.File);
        LookSettings look = job.Looks ?? throw new CompileException(JobCodes.MissingKey, "the job does not say what to look at", place, "add 'looks' with the marks of the layer below");
        FlatLayout below = Flat(LookSettingsOf(settings) with { Job = BelowOf(job, look) });
        int marks = below.LayerNames.IndexOf(look.MarksLayer);
        if (marks < 0)
        {
            throw SourceAssembly.UnknownLayer(look.MarksLayer, below.LayerNames, null);
        }

        FlatLayout crosses = below with { Groups = [.. below.Groups.Where(group => group.Layer == marks)] };
        RequireMarks(look, DrawnPattern.Of(crosses, null, job.Limits, cancellation).Areas, below.GridPicometres, place);
        RequireClear(look, below, marks, "the layer below writes", job, place, cancellation);
        if (!job.Sources.IsEmpty)
        {
            RequireClear(look, Flat(LookSettingsOf(settings)), -1, "this job writes", job, place, cancellation);
        }

        RequireReach(look, settings, place);
        double dose = settings.Machine.Beam.CurrentAmperes * look.DwellSeconds / (look.StepNanometres * look.StepNanometres * SquareMetresPerSquareNanometre);
        double part = dose * look.Looks / settings.Process.Response.OnsetCoulombsPerSquareMetre;
        var plan = new LookPlan(look, crosses, part, dose);
        return part <= LargestDoseOfOnset
            ? plan
            : throw new CompileException(
                LookCodes.NearOnset,
                $"{CountText.Of(look.Looks, "look brings", "looks bring")} {plan.DoseText}, and half of the onset is the most",
                place,
                $"dwell no longer than {QuantityText.Format(ShortDecimal.Down(look.DwellSeconds * LargestDoseOfOnset / part), Dimension.Time)}, or choose a larger 'step', a smaller beam current or fewer looks");

        FlatLayout Flat(BuildSettings of)
        {
            var pipeline = new Pipeline(of, files, sink, cancellation);
            return pipeline.Flatten(pipeline.Layout());
        }
    }

    /// <summary>The dose in words.</summary>
    public string DoseText => string.Create(
        CultureInfo.InvariantCulture,
        $"{QuantityText.Format(DoseCoulombsPerSquareMetre * Look.Looks, Dimension.AreaDose)}, {DoseOfOnset:0.###} of the onset of the resist");

    /// <summary>A look is placed where the drawing has it, from one position of the stage: where the layer below lies is what it is to find.</summary>
    public static BuildSettings LookSettingsOf(BuildSettings settings) => settings with { Job = settings.Job with { Alignment = null, Fields = null } };

    private static Job BelowOf(Job job, LookSettings look) => job with
    {
        Sources = look.Below,
        Alignment = null,
        Fields = null,
        Operations = [],
        Write = [],
        Bias = job.Bias with { DistanceNanometres = 0 },
        Layers = [],
        Position = PatternPosition.AsDrawn,
    };

    // The cross that a window is to hold, with room for the layer to lie off on all sides.
    private static void RequireMarks(LookSettings look, ContourSet crosses, long gridPicometres, SourcePlace place)
    {
        foreach (LookMark mark in look.Marks)
        {
            GridBox room = BoxOf(mark, (look.WindowNanometres / 2) - look.WithinNanometres, gridPicometres);
            bool holds = false;
            for (int ring = 0; ring < crosses.Count; ring++)
            {
                GridBox box = GridBox.Around(crosses[ring]);
                holds |= crosses[ring].Length == CornersOfCross && box.XLeft >= room.XLeft && box.XRight <= room.XRight && box.YBottom >= room.YBottom && box.YTop <= room.YTop;
            }

            if (!holds)
            {
                throw new CompileException(
                    LookCodes.NoMark,
                    $"around mark '{mark.Name}' layer '{look.MarksLayer}' has no cross that stays in the window of {QuantityText.Format(look.WindowNanometres * 1e-9, Dimension.Length)} if it lies off by {QuantityText.Format(look.WithinNanometres * 1e-9, Dimension.Length)}",
                    place,
                    "give the middle of a cross in 'looks.at', or a larger 'looks.window'");
            }
        }
    }

    private static void RequireClear(
        LookSettings look, FlatLayout written, int marks, string who, Job job, SourcePlace place, CancellationToken cancellation)
    {
        ImmutableArray<GridBox> windows = [.. look.Marks.Select(mark => BoxOf(mark, (look.WindowNanometres / 2) + look.WithinNanometres, written.GridPicometres))];
        if (WindowClearance.FirstMet(windows, written, marks, job.Limits, cancellation) is var (window, layer))
        {
            throw new CompileException(
                LookCodes.TouchesWritten,
                $"the window of mark '{look.Marks[window].Name}' meets what {who} on layer '{written.LayerNames[layer]}', if the layer lies off by up to {QuantityText.Format(look.WithinNanometres * 1e-9, Dimension.Length)}",
                place,
                "make 'looks.window' or 'looks.within' smaller, or look at another mark");
        }
    }

    private static void RequireReach(LookSettings look, BuildSettings settings, SourcePlace place)
    {
        Machine machine = LookSettingsOf(settings).Machine;
        var mapping = new DacMapping(machine.Dac, machine.Deflection);
        foreach (LookMark mark in look.Marks)
        {
            double half = look.WindowNanometres / 2;
            foreach ((int right, int up) in new[] { (-1, -1), (1, -1), (1, 1), (-1, 1) })
            {
                (double x, double y) = mapping.CodesAt((long)((mark.XNanometres + (right * half)) * 1e6), (long)((mark.YNanometres + (up * half)) * 1e6));
                if (!mapping.Reaches(x, y))
                {
                    throw new CompileException(ScaleCodes.OutOfField, $"the window of mark '{mark.Name}' lies outside the field", place, "look at marks within the field, or make 'looks.window' smaller");
                }
            }
        }
    }

    // Outward to whole steps: never smaller than it is.
    private static GridBox BoxOf(LookMark mark, double half, long gridPicometres)
    {
        double scale = 1000.0 / gridPicometres;
        return new(
            Grid(Math.Floor((mark.XNanometres - half) * scale)), Grid(Math.Floor((mark.YNanometres - half) * scale)),
            Grid(Math.Ceiling((mark.XNanometres + half) * scale)), Grid(Math.Ceiling((mark.YNanometres + half) * scale)));

        static int Grid(double steps) => (int)Math.Clamp(steps, -GridPoint.Limit, GridPoint.Limit);
    }
}
