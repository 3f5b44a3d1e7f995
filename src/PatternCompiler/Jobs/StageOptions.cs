using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Image;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Offset;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Passes.Order;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Passes.Relief;
using PatternCompiler.Passes.Route;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>
/// From job, machine and process to the options of each stage. The single-stage commands and the build both ask here, so
/// that a chain of commands does what the build does.
/// </summary>
internal static class StageOptions
{
    /// <summary>Points of the shortest dwell that a piece of a cut figure can be written with: a square of four by four.</summary>
    private const double PointsPerPiece = 16;

    /// <summary>Options of reading one drawing, without a way to open includes.</summary>
    public static DrawingOptions Drawing(Job job, JobSource source) => source.Reading with
    {
        GridPicometres = job.GridPicometres,
        ChordErrorNanometres = job.ChordErrorNanometres,
        Image = source.Reading.Image with
        {
            KeepsZero = job.Layers.Any(layer => layer.Layer == source.Placement.LayerPrefix + ImageReader.LayerName && layer.Relief is { Values: ReliefValues.Heights, Height: null }),
        },
        Limits = job.Limits,
    };

    /// <summary>Options of flattening.</summary>
    public static FlattenOptions Flatten(Job job) => new() { ChordErrorNanometres = job.ChordErrorNanometres, Limits = job.Limits };

    /// <summary>Options of fracturing.</summary>
    public static FractureOptions Fracture(Job job) => new()
    {
        DoseOverlap = job.DoseOverlap,
        Direction = job.FractureDirection,
        LargestFigureNanometres = job.LargestFigureNanometres,
        SliverNanometres = job.SliverNanometres,
        SmoothingNanometres = job.SmoothingNanometres,
        Limits = job.Limits,
    };

    /// <summary>Options of turning heights into doses, or null where the job has none.</summary>
    public static ReliefOptions? Relief(Job job, Resist process)
    {
        var layers = ImmutableDictionary.CreateBuilder<string, (LayerRelief, double)>(StringComparer.Ordinal);
        foreach (LayerSettings layer in job.Layers)
        {
            if (layer.Relief is LayerRelief relief)
            {
                layers.Add(layer.Layer, (relief, layer.AreaDoseCoulombsPerSquareMetre ?? process.AreaDoseCoulombsPerSquareMetre));
            }
        }

        return layers.Count == 0 ? null : new ReliefOptions(process.Response, layers.ToImmutable());
    }

    /// <summary>Options of moving edges, or null where nothing moves.</summary>
    public static OffsetOptions? Bias(Job job)
    {
        ImmutableArray<LayerOffset> offsets =
        [
            .. job.Layers.Where(layer => layer.BiasNanometres is not null).Select(layer => new LayerOffset(layer.Layer, layer.BiasNanometres!.Value)),
            new LayerOffset(null, job.Bias.DistanceNanometres),
        ];
        return offsets.All(offset => offset.DistanceNanometres == 0)
            ? null
            : new OffsetOptions { Offsets = offsets, Join = job.Bias.Corners, ChordErrorNanometres = job.ChordErrorNanometres, Limits = job.Limits };
    }

    /// <summary>Options of the proximity correction, or null where the job wants none.</summary>
    /// <exception cref="CompileException">The process does not tell how energy spreads.</exception>
    public static ProximityOptions? Correction(Job job, Machine machine, Resist process)
    {
        if (job.Correction is not CorrectionSettings settings)
        {
            return null;
        }

        SpreadFunction spread = process.Spread ?? throw new CompileException(
            JobCodes.MissingKey,
            $"the process '{process.Name}' does not say how energy spreads, so doses cannot be corrected",
            default,
            "add 'spread' to the process file; 'patternc init' shows it with literature-typical values");
        const double NanometresPerMetre = 1e9;
        FillOptions fill = Fill(job, machine, process);
        return new ProximityOptions(
            spread.WithSpot(machine.Beam.SpotNanometres),
            settings.Target,
            settings.Tolerance,
            settings.LargestIterations,
            settings.SmallestPieceNanometres,
            settings.DoseClasses,
            process.LineDoseCoulombsPerMetre / process.AreaDoseCoulombsPerSquareMetre * NanometresPerMetre,
            process.DotChargeCoulombs / process.AreaDoseCoulombsPerSquareMetre * NanometresPerMetre * NanometresPerMetre)
        {
            SmallestPieceSquareNanometres =
                PointsPerPiece * fill.SmallestPointChargeCoulombs / process.AreaDoseCoulombsPerSquareMetre * NanometresPerMetre * NanometresPerMetre,
            EdgeEnergy = process.Response.PrintingCoulombsPerSquareMetre / process.AreaDoseCoulombsPerSquareMetre,
            Response = process.Response,
            AreaDoseCoulombsPerSquareMetre = process.AreaDoseCoulombsPerSquareMetre,
            Limits = job.Limits,
            General = CorrectionLayers.Of(fill.AllLayers, fill, machine),
            ByLayer = CorrectionLayers.ByLayer(fill, machine),
            Relief = [.. job.Layers.Where(layer => layer.Relief is not null).Select(layer => layer.Layer)],
        };
    }

    /// <summary>Options of the division into write fields, or null where the job wants none.</summary>
    public static FieldOptions? Fields(Job job, Machine machine) =>
        job.Fields is { Options: FieldOptions options } ? options with { StageStepNanometres = machine.Stage?.StepNanometres ?? 0, Limits = job.Limits } : null;

    /// <summary>Options of filling.</summary>
    public static FillOptions Fill(Job job, Machine machine, Resist process)
    {
        FillSettings general = job.Fill.Over(DefaultFiles.Job.Fill);
        var mapping = new DacMapping(machine.Dac, machine.Deflection);
        double largestCurrent = Math.Max(machine.Beam.CurrentAmperes, machine.Beam.Later?.Amperes ?? 0);
        return new FillOptions(
            process.AreaDoseCoulombsPerSquareMetre,
            process.LineDoseCoulombsPerMetre,
            process.DotChargeCoulombs,
            ToLayerFill(general, DoseFactor.One))
        {
            ByLayer = job.Layers.ToImmutableDictionary(
                layer => layer.Layer,
                layer => ToLayerFill(layer.Fill.Over(general), layer.DoseFactor) with
                {
                    AreaDoseCoulombsPerSquareMetre = layer.AreaDoseCoulombsPerSquareMetre,
                    LineDoseCoulombsPerMetre = layer.LineDoseCoulombsPerMetre,
                    DotChargeCoulombs = layer.DotChargeCoulombs,
                },
                StringComparer.Ordinal),
            Exposure = SettingsDigests.Of(process),
            Order = job.Order with { Subfields = Subfields(machine) },
            LayerOrder = [.. job.Layers.Select(layer => layer.Layer)],
            FirstLayer = job.Fields?.Options.Marks is { AreFirst: true } first ? first.Layer : null,
            LastLayer = job.Fields?.Options.Marks is { AreFirst: false } last ? last.Layer : null,
            Lattice = mapping.ToLattice(),
            UnevenField = mapping.HasOneLattice ? null : mapping,
            Trigger = machine.Trigger,
            Limits = FillLimits.Of(machine, process),
            Work = job.Limits,
            SmallestPointChargeCoulombs = machine.Clock.MinimumDwellTicks / machine.Clock.Hertz * largestCurrent,
            SmallestSegmentChargeCoulombs = (machine.Clock.MinimumDwellTicks / machine.Clock.Hertz
                + Math.Max(0, machine.Blanker.OffDelaySeconds - machine.Blanker.OnDelaySeconds)) * largestCurrent,
        };
    }

    /// <summary>Options of scaling.</summary>
    public static ScaleOptions Scale(Job job, Machine machine) => new(
        machine.Name, machine.Dac, machine.Deflection, machine.Clock, machine.Beam, machine.Settle, job.Markers)
    {
        Blanker = machine.Blanker,
        BlankerReachCodes = SpotCodes(machine),
        MadeFor = new MadeFor(SettingsDigests.Of(machine), default),
        BlankLevel = machine.Blanker.Level,
        Composite = machine.Composite,
        Trigger = machine.Trigger,
    };

    /// <summary>How jumps are led around; null where jumps go straight, none can print (what leaks out of focus draws no lines), nobody can tell how fast they are, or coarse converters stop them on the way.</summary>
    public static RouteOptions? Route(Job job, Machine machine, Resist process)
    {
        double part = !machine.Blanker.IsPresent ? 1 : machine.Blanker.LeaksFog ? 0 : machine.Blanker.LeakFraction;
        bool isMoving = machine.Settle.TimeConstantSeconds > 0 || machine.Settle.SlewNanometresPerSecond > 0;
        return job.HidesTravel && part > 0 && isMoving && machine.Composite is null
            ? new RouteOptions(Scale(job, machine) with { Settle = machine.Settle.Dominant }, part * machine.Beam.CurrentAmperes, process.SpreadWith(machine.Beam), process.Response.OnsetCoulombsPerSquareMetre)
            : null;
    }

    /// <summary>Where the beam waits, in femtometres: where the machine file says, or without a blanker in the lower left corner of the field; null to stay where it is.</summary>
    public static (long X, long Y)? Park(Machine machine)
    {
        const double FemtometresPerNanometre = 1e6;
        if (machine.ParkOnDrawing is (double x, double y))
        {
            return ((long)Math.Round(x * FemtometresPerNanometre), (long)Math.Round(y * FemtometresPerNanometre));
        }

        if (machine.Blanker.IsPresent)
        {
            return null;
        }

        // The corner is where both outputs are at an end; which of the four is the lower left one depends on the axes.
        var mapping = new DacMapping(machine.Dac, machine.Deflection);
        (CodeRange alongX, CodeRange alongY) = (mapping.UsableX, mapping.UsableY);
        (double X, double Y) corner = new[] { (alongX.Lowest, alongY.Lowest), (alongX.Highest, alongY.Lowest), (alongX.Lowest, alongY.Highest), (alongX.Highest, alongY.Highest) }
            .Select(codes => mapping.PlaceOf(codes.Item1, codes.Item2))
            .MinBy(place => place.XNanometres + place.YNanometres);
        return ((long)Math.Round(corner.X * FemtometresPerNanometre), (long)Math.Round(corner.Y * FemtometresPerNanometre));
    }

    /// <summary>How far to the left of and below its start every exposure is approached from; 0 for straight jumps.</summary>
    public static long ApproachFemtometres(Machine machine)
    {
        const double FemtometresPerNanometre = 1e6;
        return (long)Math.Round(machine.Settle.ApproachNanometres * FemtometresPerNanometre);
    }

    /// <summary>Corners of the loops before the first figure, in order, on the drawing.</summary>
    public static ImmutableArray<(long X, long Y)> ConditioningCorners(Machine machine, ConditioningLoops loops)
    {
        const double FemtometresPerNanometre = 1e6;
        (double right, double top) = (loops.WidthNanometres / 2, loops.HeightNanometres / 2);
        return [Drawn(-right, -top), Drawn(right, -top), Drawn(right, top), Drawn(-right, top)];

        (long X, long Y) Drawn(double x, double y)
        {
            (x, y) = machine.Deflection.Placement?.Drawn(x, y) ?? (x, y);
            return ((long)Math.Round(x * FemtometresPerNanometre), (long)Math.Round(y * FemtometresPerNanometre));
        }
    }

    private static SubfieldGrid? Subfields(Machine machine)
    {
        if (machine.Composite is not CompositeDac composite)
        {
            return null;
        }

        const double FemtometresPerNanometre = 1e6;
        var mapping = new DacMapping(machine.Dac, machine.Deflection);
        double alongX = Math.Abs(mapping.NanometresPerCodeX) * composite.CodesPerSubfield * FemtometresPerNanometre;
        double alongY = Math.Abs(mapping.NanometresPerCodeY) * composite.CodesPerSubfield * FemtometresPerNanometre;

        // The middle code begins a sub-field; the edge is half a code before it, where rounding changes sides.
        double edge = (machine.Dac.CodeCount / 2) - 0.5;
        (double x, double y) = mapping.PlaceOf(edge, edge);
        SubfieldGrid grid = machine.Deflection.SwapAxes ? new SubfieldGrid(alongY, alongX) : new SubfieldGrid(alongX, alongY);
        return grid with { XOriginFemtometres = x * FemtometresPerNanometre, YOriginFemtometres = y * FemtometresPerNanometre };
    }

    private static LayerFill ToLayerFill(FillSettings settings, DoseFactor doseFactor) =>
        settings is
        {
            Strategy: FillStrategy strategy, Direction: FillDirection direction, LinePitch: Spacing pitch, PointStep: Spacing step,
            Placement: CodePlacement placement, Passes: int passes, StaggersPasses: bool staggers, Interlace: int interlace,
            Trigger: TriggerUnit trigger, TriggerDelaySeconds: double delay, SpreadsPasses: bool spreads,
        }
            ? new LayerFill(strategy, direction, pitch, step, doseFactor)
            {
                Placement = placement, Passes = passes, StaggersPasses = staggers, Interlace = interlace,
                Trigger = trigger, TriggerDelaySeconds = delay, SpreadsPasses = spreads,
            }
            : throw new InvalidOperationException("The built-in job leaves a fill setting open.");

    /// <summary>A spot in codes of the finer axis, at least one: charge that is moved by less is spread as far anyway.</summary>
    private static int SpotCodes(Machine machine)
    {
        var mapping = new DacMapping(machine.Dac, machine.Deflection);
        double step = Math.Min(Math.Abs(mapping.NanometresPerCodeX), Math.Abs(mapping.NanometresPerCodeY));
        return (int)Math.Clamp(machine.Beam.SpotNanometres / step, 1, int.MaxValue);
    }
}
