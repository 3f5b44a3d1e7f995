using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Fill.Automatic;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Plan;

/// <summary>
/// What can be written with the beams and fields on offer, the quickest first and what cannot be written last. Every pair is judged by the
/// search that chooses spacings in a build: t = D·p·s/I, v = I/(D·p), N = D·w²/e, bytes a second on the link.
/// </summary>
/// <param name="FeatureNanometres">Width of the smallest feature.</param>
/// <param name="IsOfDrawing">True if times are of a drawing; else of an area of 100 µm by 100 µm.</param>
/// <param name="Rows">The rows.</param>
internal sealed record WritingPlan(double FeatureNanometres, bool IsOfDrawing, ImmutableArray<PlanRow> Rows)
{
    private const double PlainAreaNanometres = 100_000;
    private const double ElementaryCharge = 1.602176634e-19;

    /// <summary>Lines that a feature must hold side by side, so that its edges are not those of one line.</summary>
    private const int LinesPerFeature = 2;

    /// <summary>Plans a drawing or figures.</summary>
    /// <exception cref="CompileException">The document is later than figures.</exception>
    public static WritingPlan Of(Pipeline pipeline, PipelineInput input, BuildSettings settings, PlanQuestion question, CancellationToken cancellation)
    {
        FiguresDocument figures = input.Kind switch
        {
            DocumentKind.Drawing => pipeline.Correct(pipeline.Fracture(pipeline.WithHeights(pipeline.Flatten(pipeline.Layout())))).Figures,
            DocumentKind.Figures => pipeline.ReadFigures(input),
            _ => throw new CompileException(DrawingCodes.Unknown, "this document is later than figures", new SourcePlace(input.Name), "name a job file, a drawing or figures"),
        };
        return Of(figures, settings, question, cancellation);
    }

    /// <summary>Plans a drawing's figures.</summary>
    public static WritingPlan Of(FiguresDocument figures, BuildSettings settings, PlanQuestion question, CancellationToken cancellation) =>
        Of(figures, isOfDrawing: true, settings, question, cancellation);

    /// <summary>Plans areas of the smallest feature's size.</summary>
    public static WritingPlan Of(BuildSettings settings, PlanQuestion question, CancellationToken cancellation)
    {
        const int GridPicometres = 100;
        int width = (int)Math.Clamp(Math.Round(question.FeatureNanometres * 1000 / GridPicometres), 1, 1 << 29);
        Figure square = Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(0, 0, width, width));
        BuildSettings plain = settings with { Job = settings.Job with { Layers = [] } };
        return Of(new FiguresDocument(new FiguresHeader(GridPicometres, ["areas"]), [square]), isOfDrawing: false, plain, question, cancellation);
    }

    private static WritingPlan Of(FiguresDocument figures, bool isOfDrawing, BuildSettings settings, PlanQuestion question, CancellationToken cancellation)
    {
        ImmutableArray<SpacingCase> cases = [.. SpacingCase.Of(figures, StageOptions.Fill(settings.Job, settings.Machine, settings.Process), cancellation).Select(layer => layer.Open)];
        if (cases.IsEmpty)
        {
            throw new CompileException(FillCodes.NoSpacing, "no figure has a dose, so there is nothing to plan", fix: "plan a drawing with areas, lines or dots that are written");
        }

        GridBox box = FigureFrame.BoxAround(figures.Figures);
        double grid = figures.Header.GridPicometres / 1000.0;
        (double Width, double Height) extent = box.IsEmpty ? (0, 0) : (((double)box.XRight - box.XLeft) * grid, ((double)box.YTop - box.YBottom) * grid);
        var rows = new List<PlanRow>();
        foreach (BeamSetting beam in question.Beams)
        {
            foreach (FieldSetting field in question.Fields)
            {
                cancellation.ThrowIfCancellationRequested();
                rows.Add(RowOf(cases, extent, isOfDrawing, settings with { Machine = SetTo(settings.Machine, beam, field) }, beam, field, question.FeatureNanometres));
            }
        }

        return new WritingPlan(
            question.FeatureNanometres,
            isOfDrawing,
            [.. rows.OrderBy(row => row.Refusal is not null).ThenBy(row => row.BeamOnSeconds).ThenBy(row => row.WriteFields).ThenBy(row => row.BlurNanometres)]);
    }

    private static PlanRow RowOf(
        ImmutableArray<SpacingCase> cases, (double Width, double Height) extent, bool isOfDrawing, BuildSettings settings, BeamSetting beam, FieldSetting field, double feature)
    {
        (Machine machine, Resist process) = (settings.Machine, settings.Process);
        SpacingLimits limits = FillLimits.Of(machine, process);
        CodeLattice lattice = new DacMapping(machine.Dac, machine.Deflection).ToLattice();
        ImmutableArray<SpacingOutcome> found = [.. cases.Select(layer => layer.Find(limits, lattice))];
        double blur = process.BlurNanometres(beam.SpotNanometres);
        bool fits = found.All(layer => layer.Fits);
        double charge = cases.Sum(layer => layer.ChargeCoulombs);
        double times = isOfDrawing ? 1 : PlainAreaNanometres / feature * (PlainAreaNanometres / feature);
        int writeFields = FieldsAlong(extent.Width, field.WidthNanometres) * FieldsAlong(extent.Height, machine.Deflection.FieldHeightNanometres);
        var row = new PlanRow(
            beam,
            field,
            blur,
            fits ? [.. found.Select(layer => layer.ToChoice())] : [],
            charge * times / beam.CurrentAmperes,
            writeFields,
            fits ? found.Where(layer => layer.Effect.ShortestDwellSeconds > 0).Select(layer => layer.Effect.ShortestDwellSeconds).DefaultIfEmpty(0).Min() * beam.CurrentAmperes / ElementaryCharge : 0,
            cases.Min(layer => FewestOf(layer, feature)),
            null)
        {
            Strategies = [.. found.Select(layer => layer.Case.Fill.Strategy)],
        };
        return row with { Refusal = RefusalOf(row, found, limits, machine, feature) };
    }

    private static string? RefusalOf(PlanRow row, ImmutableArray<SpacingOutcome> found, SpacingLimits limits, Machine machine, double feature)
    {
        if (row.BlurNanometres > feature)
        {
            return $"the beam is {Length(row.BlurNanometres)} wide in the resist, wider than the feature";
        }

        if (found.FirstOrDefault(layer => !layer.Fits) is { } broken)
        {
            return $"{(found.Length == 1 ? "" : $"layer {broken.Case.Layer}: ")}the best spacing would mean {SpacingText.Reason(broken.Effect, limits, hasReserve: false)}";
        }

        if (found.FirstOrDefault(layer => layer.Case.Demand.HasAreas && layer.Effect.LinePitchNanometres * LinesPerFeature > feature) is { } coarse)
        {
            return $"lines {Length(coarse.Effect.LinePitchNanometres)} apart, as {SpacingText.Name(coarse.ToChoice().PitchRule)} wants, are fewer than {LinesPerFeature} across the feature";
        }

        double shortest = machine.Clock.MinimumDwellTicks / machine.Clock.Hertz;
        double dot = found.Min(layer => layer.Case.Doses.DotCoulombs * layer.Case.Doses.Factor * layer.Case.Demand.LowestDotFactor / layer.Case.Fill.Passes) / row.Beam.CurrentAmperes;
        if (dot < shortest)
        {
            return $"the lightest dot takes {QuantityText.Format(dot, Dimension.Time, 3)}, less than the controller's shortest dwell of {QuantityText.Format(shortest, Dimension.Time, 3)}";
        }

        return row.WriteFields > 1 && machine.Stage is null ? $"the pattern takes {row.WriteFields} fields, and the machine file describes no stage" : null;
    }

    // A calibration and a converter's nonlinearity are the field's in which they were measured; the deflection's speed is one in volts.
    private static Machine SetTo(Machine machine, BeamSetting beam, FieldSetting field)
    {
        double part = field.WidthNanometres / machine.Deflection.FieldWidthNanometres;
        Machine set = machine with { Beam = machine.Beam with { CurrentAmperes = beam.CurrentAmperes, SpotNanometres = beam.SpotNanometres, Later = null } };
        return part == 1 ? set : set with
        {
            Deflection = machine.Deflection with
            {
                FieldWidthNanometres = field.WidthNanometres,
                FieldHeightNanometres = machine.Deflection.FieldHeightNanometres * part,
                Calibration = AffineCalibration.Identity,
            },
            Settle = machine.Settle with { SlewNanometresPerSecond = machine.Settle.SlewNanometresPerSecond * part },
        };
    }

    private static double FewestOf(SpacingCase layer, double feature)
    {
        double areas = layer.Doses.AreaCoulombsPerSquareMetre * layer.Demand.LowestAreaFactor * feature * feature * 1e-18;
        double lines = layer.Doses.LineCoulombsPerMetre * layer.Demand.LowestLineFactor * feature * 1e-9;
        double dots = layer.Doses.DotCoulombs * layer.Demand.LowestDotFactor;
        return layer.Doses.Factor * Math.Min(dots, Math.Min(areas, lines)) / ElementaryCharge;
    }

    private static int FieldsAlong(double pattern, double field) => (int)Math.Clamp(Math.Ceiling(pattern / field), 1, 1 << 15);

    private static string Length(double nanometres) => QuantityText.Format(nanometres * 1e-9, Dimension.Length, 3);
}
