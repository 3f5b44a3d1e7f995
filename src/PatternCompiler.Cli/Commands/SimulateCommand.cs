using System.Collections.Immutable;
using System.CommandLine;
using System.Text;
using PatternCompiler.Checks;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Cli.Simulating;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Seams;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc simulate</c>: what the resist would show.</summary>
internal sealed class SimulateCommand
{
    // Fine enough for the energy behind the outlines of a picture of a whole field.
    private const double PictureMapStepNanometres = 80;
    private const double MapCellsAcrossWindow = 1000;
    private const double UsualMapStepNanometres = 20;
    private const double UsualSweepLimitNanometres = 10;

    // No edge is looked for farther than this from where it is drawn.
    private const double LargestSweepLimitNanometres = 100;
    private const int SweepStepsToEachSide = 20;

    private readonly Argument<string> input = InputArgument.Create("Job file, drawing, any document after them, or a manifest of write fields.");
    private readonly Option<string> output = FileOption.CreateOutput(OutputChoice.TextOrJson, "Write the report to FILE.");
    private readonly Option<string?> against = FileOption.CreateRead("--against", "Compare shapes and edges with this layout or drawing.");
    private readonly Option<string> contours = FileOption.CreateWritten("--contours", _ => OutputChoice.Of("layout"), "Write the printed outlines as a layout.");
    private readonly Option<string> picture = FileOption.CreateWritten("--picture", _ => OutputChoice.ByName("png", "svg"), "Draw printed over drawn outlines; PNG or SVG by the name.");
    private readonly Option<PictureWindow?> window = WindowOption.Create("Simulate, measure and draw only a square: its middle and its width.");
    private readonly Option<string> map = FileOption.CreateWritten("--map", _ => OutputChoice.Of("npy"), "Write the energy as an array file (.npy).");
    private readonly Option<string> thickness = FileOption.CreateWritten("--thickness", _ => OutputChoice.ByName("npy", "png", "svg"), "Write what remains of the resist; as an array file (.npy), PNG or SVG by the name.");
    private readonly Option<Quantity?> mapStep = QuantityOption.CreatePositive("--map-step", "Step of the energy and thickness maps; 20 nm if absent.", Dimension.Length);
    private readonly Option<Quantity?> pixel = PrintSimulation.PixelOption("Pixel of the simulation; 5 nm if absent.");
    private readonly Option<Quantity?> level = QuantityOption.CreatePositive("--level", "Energy at which the resist prints; as the dose of a large area. If absent, the dose from which a positive resist is gone, or half of a negative one remains.", Dimension.AreaDose);
    private readonly Option<Quantity?> bias = QuantityOption.CreateWithin(
        "--bias", "How far development moves every edge outward.", new(-10_000, Unit.Nanometre), new(10_000, Unit.Nanometre));
    private readonly Option<Quantity?> limit = QuantityOption.CreatePositive("--limit", "Largest edge error; a worse one, or any fault of shape, is a violation: exit code 3.", Dimension.Length);
    private readonly Option<double?> heightLimit = NumberOption.CreateReal("--height-limit", "Largest error of a height, as a part of the film; a worse one is a violation: exit code 3.", 1e-6, 1);
    private readonly Option<double?> sweep = NumberOption.CreateReal("--sweep", "Measure the process window, doses off by this part; 0.2: from 0.8 to 1.2 times the dose.", 0.001, 0.95);
    private readonly Option<Quantity?> sweepLimit = QuantityOption.CreateWithin(
        "--sweep-limit", "Largest edge error inside the process window; 10 nm if absent.", new(0.1, Unit.Nanometre), new(LargestSweepLimitNanometres, Unit.Nanometre));
    private readonly Option<string> sweepPicture = FileOption.CreateWritten("--sweep-picture", _ => OutputChoice.ByName("png", "svg"), "Draw the process window, as PNG or SVG by the name.");
    private readonly Option<bool> json = new("--json") { Description = "One JSON object instead of a table; names end in their unit and never change." };
    private readonly Option<string?> places = PlacesOption.Create();
    private readonly Option<Quantity?> mainsPhase = QuantityOption.CreateWithin(
        "--mains-phase", "Phase of the hum when writing starts; 0 deg if absent.", new(-360, Unit.Degree), new(360, Unit.Degree));
    private readonly StageErrorOptions stage = new();
    private readonly DrawingArguments drawing = new();
    private readonly SettingsOptions settings = new(SettingsNeed.All, SettingOverride.Dose(), SettingOverride.Current()) { Judges = true };

    public static PatternCommand Create() => new SimulateCommand().Command();

    private PatternCommand Command()
    {
        var command = new PatternCommand("simulate", "Predict what the resist would show, from the emitted bytes.")
        {
            Details = "Charge is deposited where the beam really is: on the converters' codes, late by the deflection's time constant, through a blanker that answers late and may leak. It is spread as the process says; outlines lie where the resist prints by the process's clearing dose (of a negative resist, where half remains). What prints is compared with the layout as areas: shorts, bridges, opens, cuts, lost figures, islands and holes are counted and listed by place, whatever their size, and edges are measured. Where the machine states hum, the print is compared with that without it. The process window tells how far dose and development may go before edges do.",
            Examples =
            [
                new("patternc simulate chip.stream --job job.yaml --against chip.dxf", "shapes and edge errors of a stream"),
                new("patternc simulate chip.stream --job job.yaml --against chip.dxf --picture print.png --limit \"10 nm\"", "a picture, and exit code 3 if an edge is off by more"),
                new("patternc simulate chip.stream --job job.yaml --against chip.dxf --window \"10 um, -5 um, 2 um\" --pixel \"2 nm\" --picture detail.png", "2 um around a place, finely"),
                new("patternc simulate chip.stream --job job.yaml --against chip.dxf --sweep 0.2 --sweep-picture window.png", "the doses that keep edges within 10 nm"),
                new("patternc simulate chip-fields.yaml --job job.yaml --against chip.dxf --stage-error \"50 nm\"", "every write field, off its place at random: what opens, thins and doubles at the seams"),
                new("patternc simulate chip.stream --job job.yaml --thickness resist.npy", "what development leaves, for a script"),
            ],
            Arguments = { input },
            Options = { output, against, contours, picture, window, map, thickness, mapStep, pixel, level, bias, limit, heightLimit, sweep, sweepLimit, sweepPicture, mainsPhase, json, places },
        };
        stage.AddTo(command);
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs(Run);
    }

    private int Run(ParseResult result, CommandContext context)
    {
        if (result.GetValue(sweepPicture) is not null && result.GetValue(sweep) is null)
        {
            throw Wrong("--sweep-picture draws a process window, which is measured with --sweep", "add for example --sweep 0.2");
        }

        if (result.GetValue(sweep) is not null && result.GetValue(against) is null)
        {
            throw Wrong("--sweep measures edges, and there is no layout to measure them against", "add --against with the drawing");
        }

        using CompiledInput source = CompiledInput.Open(result.GetRequiredValue(input), result, settings, drawing, SettingsNeed.All, context);
        BuildSettings chosen = source.Settings;
        FlatLayout? flat = result.GetValue(against) is { } reference ? DrawnReference.Read(reference, chosen, drawing, result, context) : null;
        (DrawnPattern Drawn, long Grid)? layout = flat is null ? null : Reference(flat, chosen.Job, context);
        ImmutableArray<HeightArea> heights = flat is null ? [] : HeightArea.Of(flat, chosen.Job.Limits, context.Cancellation);
        SimulationOptions options = PrintSimulation.Options(chosen);
        options = options with
        {
            LevelCoulombsPerSquareMetre = result.GetValue(level)?.In(Unit.CoulombPerSquareMetre) ?? options.LevelCoulombsPerSquareMetre,
            BiasNanometres = result.GetValue(bias)?.In(Unit.Nanometre) ?? 0,
            GridPicometres = layout?.Grid ?? options.GridPicometres,
            Response = result.GetValue(thickness) is null && heights.IsEmpty ? null : chosen.Process.Response,
            Heights = heights,
            MapStepNanometres = MapStep(
                result.GetValue(mapStep),
                isForScripts: WritesArrays(result),
                isForPictures: result.GetValue(picture) is not null || result.GetValue(thickness) is not null,
                result.GetValue(window)),
        };
        var charge = ChargeMap.For(
            chosen.Machine.Blanker, result.GetValue(pixel)?.In(Unit.Nanometre) ?? PrintSimulation.UsualPixelNanometres, PrintSimulation.Square(result.GetValue(window)));
        var judge = new ExposureJudge(chosen);
        source.UsePlaces(places, result);
        StageErrors errors = stage.Read(result, context);
        var hum = new HumComparison(chosen.Machine, result.GetValue(mainsPhase), charge, errors);
        var replay = new ReplayWatcher(chosen.Machine, charge, errors, hum.Replay);
        source.Pipeline.Run(source.Document, [judge, replay, .. hum.Watchers]);
        layout = layout is { } drawn
            ? (drawn.Drawn.With(chosen.Job.Fields?.Options.Marks, replay.Plan, drawn.Grid, chosen.Job.Limits, context.Cancellation), drawn.Grid)
            : null;
        ImmutableArray<Seam> seams = SeamsOf(replay, errors, isMeasured: layout is not null);
        options = options with { KeepsPlaces = !hum.Watchers.IsEmpty, Zones = [.. seams.Select(seam => seam.Window)], SearchNanometres = options.SearchNanometres + LargestError(replay, errors) };
        ExposureEstimate estimate = source.Pipeline.Complete(judge.ToEstimate());
        SimulationResult simulated = Developer.Run(charge, layout?.Drawn, options, context.Cancellation);
        ProcessWindowReport? latitude = result.GetValue(sweep) is { } range
            ? ProcessWindow.Measure(
                charge, layout!.Value.Drawn.Areas, options, Doses(range), result.GetValue(sweepLimit)?.In(Unit.Nanometre) ?? UsualSweepLimitNanometres, context.Cancellation)
            : null;
        var findings = new SimulationFindings(simulated, estimate, latitude, NetsOf(chosen.Job, charge, simulated), chosen.Process.Response, options.LevelCoulombsPerSquareMetre)
        {
            Seams = SeamVerdict.Of(seams, errors, simulated),
            Fields = replay.Plan?.Fields.Length ?? 0,
            Stage = errors,
            Hum = hum.EffectOn(simulated, layout?.Drawn, options, context.Cancellation),
            Cells = WritesArrays(result) ? simulated.Map ?? simulated.Thickness : null,
        };
        WriteReport(
            findings,
            result.GetRequiredValue(output),
            result.GetValue(json),
            context);
        var files = new SimulationFiles(simulated, layout?.Drawn.Areas, new PictureOptions { Window = result.GetValue(window) }, context);
        files.WriteContours(result.GetValue(contours));
        files.WriteEnergy(result.GetValue(map));
        files.WriteThickness(result.GetValue(thickness), chosen.Process.Response.ThicknessNanometres);
        files.WritePicture(result.GetValue(picture), options.LevelCoulombsPerSquareMetre);
        if (latitude is not null && result.GetValue(sweepPicture) is { } name)
        {
            PictureFile.Write(name, ProcessWindowPicture.Compose(latitude, chosen.Job.Name), context);
        }

        ExposureJudge.Report(estimate, context.Sink);
        bool isWithin = (result.GetValue(limit) is not { } most || IsWithin(findings, most, source.Pipeline, context))
            & (result.GetValue(heightLimit) is not { } mostHeight || HasHeightsWithin(simulated, mostHeight, source.Pipeline, context));
        return isWithin ? ExitCode.Done : ExitCode.Violation;
    }

    // Arrays keep the step that is asked for; a picture alone needs no more cells than it has pixels.
    private bool WritesArrays(ParseResult result) => result.GetValue(map) is not null || SimulationFiles.IsArray(result.GetValue(thickness));

    private static double MapStep(Quantity? asked, bool isForScripts, bool isForPictures, PictureWindow? window)
    {
        if (!isForScripts && !isForPictures)
        {
            return 0;
        }

        return asked?.In(Unit.Nanometre)
            ?? (isForScripts ? UsualMapStepNanometres
                : window is null ? PictureMapStepNanometres : Math.Min(PictureMapStepNanometres, window.WidthNanometres / MapCellsAcrossWindow));
    }

    private static ImmutableArray<double> Doses(double range) =>
        [.. Enumerable.Range(-SweepStepsToEachSide, 2 * SweepStepsToEachSide + 1).Select(step => 1 + range * step / SweepStepsToEachSide)];

    private static (DrawnPattern Drawn, long Grid) Reference(FlatLayout flat, Job job, CommandContext context)
    {
        NetCheck.RequireDrawn(flat, job.Nets, job.Limits, context.Cancellation);
        return (DrawnPattern.Of(flat, null, job.Limits, context.Cancellation), flat.GridPicometres);
    }

    private static void WriteReport(SimulationFindings findings, string name, bool asJson, CommandContext context)
    {
        using OutputFile file = context.Outputs.Create(name);
        if (asJson)
        {
            SimulationJson.Write(findings, file.Stream);
        }
        else
        {
            file.Stream.Write(Encoding.UTF8.GetBytes(SimulationReport.Text(findings)));
        }

        file.Commit();
    }

    /// <summary>Seams that can be judged; a stage that misses needs a pattern of several fields.</summary>
    private static ImmutableArray<Seam> SeamsOf(ReplayWatcher replay, StageErrors errors, bool isMeasured)
    {
        if (replay.Plan is null && !ReferenceEquals(errors, StageErrors.None))
        {
            throw Wrong("stage errors move write fields, and this pattern is written from one position", "simulate the manifest of a job with 'fields', or the job itself");
        }

        return replay.Plan is null || !isMeasured ? [] : [.. Seam.Of(replay.Plan)];
    }

    // An edge is looked for as far as the stage puts it.
    private static double LargestError(ReplayWatcher replay, StageErrors errors) => replay.Plan is not { } plan ? 0 : plan.Fields.Max(field =>
    {
        (double x, double y) = errors.At(field);
        return Math.Sqrt(x * x + y * y);
    });

    // What leads around a window, nobody sees.
    private static ImmutableArray<NetVerdict> NetsOf(Job job, ChargeMap charge, SimulationResult simulated) =>
        charge.Window is null ? NetCheck.Judge(simulated.Printed, simulated.GridPicometres, job.Nets) : [];

    private static bool IsWithin(SimulationFindings findings, Quantity most, Pipeline stages, CommandContext context)
    {
        SimulationResult simulated = findings.Simulated;
        double worst = Math.Abs(simulated.Edges?.WorstNanometres ?? 0);
        bool isWithin = worst <= most.In(Unit.Nanometre) && simulated.Shapes is not { IsSound: false } && simulated.Edges is not { Lost: > 0 } && findings.Nets.All(net => net.IsSound);
        if (!isWithin)
        {
            SourcePlace place = simulated.Edges is { Worst: [EdgeError first, ..] } ? SourcePlace.OfPosition(first.XNanometres, first.YNanometres) : default;
            context.Messages.Report(stages.Places.Complete(new Diagnostic(
                CommandCodes.LimitExceeded,
                Severity.Error,
                $"the worst edge is off by {QuantityText.Format(worst * 1e-9, Dimension.Length)}, the limit is {most}; {simulated.Edges?.Lost ?? 0} places have no printed edge in reach; shape faults: {(simulated.Shapes is { } shapes ? ShapeText.Counts(shapes) : "not looked for")}{string.Concat(findings.Nets.Where(net => !net.IsSound).Select(net => "; net " + SimulationReport.NetText(net)))}",
                place,
                "see the report and the picture")));
        }

        return isWithin;
    }

    private static bool HasHeightsWithin(SimulationResult simulated, double most, Pipeline stages, CommandContext context)
    {
        if (simulated.Heights.IsEmpty)
        {
            throw Wrong("--height-limit judges heights, and none are wanted", "name the drawing with --against, and in the job the layers with 'values: heights'");
        }

        HeightReport worst = simulated.Heights.MaxBy(height => Math.Abs(height.WorstError))!;
        if (Math.Abs(worst.WorstError) <= most)
        {
            return true;
        }

        context.Messages.Report(stages.Places.Complete(new Diagnostic(
            CommandCodes.LimitExceeded,
            Severity.Error,
            $"the worst height is off by {NumberText.Format(Math.Round(worst.WorstError, 4))} of the film, the limit is {NumberText.Format(most)}",
            SourcePlace.OfPosition(worst.WorstXNanometres, worst.WorstYNanometres),
            "see the report, and --thickness for a map")));
        return false;
    }

    private static CompileException Wrong(string message, string fix) =>
        new(CommandCodes.WrongUsage, message, new SourcePlace("patternc simulate"), fix);
}
