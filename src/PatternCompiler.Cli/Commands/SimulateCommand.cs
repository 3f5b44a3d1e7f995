using System.CommandLine;
using System.Text;
using PatternCompiler.BackEnds.Picture;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc simulate</c>: what the resist would show.</summary>
internal static class SimulateCommand
{
    // Fine enough for the energy behind the outlines of a picture.
    private const double PictureMapStepNanometres = 80;

    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Stream, records, or any document before them.");
        Option<string> output = FileOption.CreateOutput("Write the report to FILE.");
        Option<string?> against = FileOption.Create("--against", "Measure edges and strays against this layout or drawing.");
        Option<string?> contours = FileOption.Create("--contours", "Write the printed outlines as a layout.");
        Option<string?> picture = FileOption.Create("--picture", "Draw printed over drawn outlines, as PNG or SVG by the name.");
        Option<string?> map = FileOption.Create("--map", "Write the energy as an array file (.npy).");
        Option<Quantity?> mapStep = QuantityOption.CreatePositive("--map-step", "Step of the energy map; 20 nm if absent.", Dimension.Length);
        Option<Quantity?> pixel = QuantityOption.CreatePositive("--pixel", "Pixel of the simulation; 5 nm if absent.", Dimension.Length);
        Option<Quantity?> level = QuantityOption.CreatePositive("--level", "Energy at which the resist develops, as the dose of a large area; half the base dose if absent.", Dimension.AreaDose);
        Option<Quantity?> bias = QuantityOption.Create("--bias", "How far development moves every edge outward.", Dimension.Length);
        Option<Quantity?> limit = QuantityOption.CreatePositive("--limit", "A worse edge error than this, or a stray print, is a violation: exit code 3.", Dimension.Length);
        var json = new Option<bool>("--json") { Description = "One JSON object instead of a table; names end in their unit and never change." };
        var drawing = new DrawingArguments();
        var settings = new SettingsOptions(SettingsNeed.All, SettingOverride.Dose(), SettingOverride.Current());
        var command = new PatternCommand("simulate", "Predict what the resist would show, from the emitted bytes.")
        {
            Details = "Charge is deposited where the beam really is: on the converters' codes, late by the deflection's time constant, through a blanker that answers late and may leak. It is spread as the process says and developed at a level. Edges are measured against the layout, and what prints where nothing is drawn is listed.",
            Examples =
            [
                new("patternc simulate chip.stream --job job.yaml --against chip.dxf", "edge errors and strays of a stream"),
                new("patternc simulate chip.stream --job job.yaml --against chip.dxf --picture print.png --limit \"10 nm\"", "a picture, and exit code 3 if an edge is off by more"),
            ],
            Arguments = { input },
            Options = { output, against, contours, picture, map, mapStep, pixel, level, bias, limit, json },
        };
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            BuildSettings chosen = settings.Read(result, context);
            (ContourSet Drawn, long Grid)? layout = result.GetValue(against) is { } reference
                ? ReadReference(reference, chosen.Job, drawing, result, context)
                : null;
            SimulationOptions options = new(
                chosen.Process.Spread ?? throw MissingSpread(chosen.Process.Name),
                chosen.Machine.Beam.SpotNanometres,
                result.GetValue(level)?.In(Unit.CoulombPerSquareMetre) ?? chosen.Process.AreaDoseCoulombsPerSquareMetre / 2)
            {
                BiasNanometres = result.GetValue(bias)?.In(Unit.Nanometre) ?? 0,
                GridPicometres = layout?.Grid ?? chosen.Job.GridPicometres,
                MapStepNanometres = result.GetValue(map) is null ? result.GetValue(picture) is null ? 0 : PictureMapStepNanometres : result.GetValue(mapStep)?.In(Unit.Nanometre) ?? 20,
            };
            var charge = new ChargeMap(result.GetValue(pixel)?.In(Unit.Nanometre) ?? 5);
            using (InputStream source = context.Open(result.GetRequiredValue(input)))
            {
                RecordsSource.Send(source, chosen, () => drawing.Read(source, chosen.Job, result, context), new ExposureReplay(chosen.Machine, charge), context);
            }

            SimulationResult simulated = Developer.Run(charge, layout?.Drawn, options, context.Cancellation);
            WriteReport(simulated, result.GetRequiredValue(output), result.GetValue(json), context);
            LayoutDocument printed = PrintedLayout(simulated);
            Write(result.GetValue(contours), false, stream => LayoutWriter.Write(printed, stream), context);
            Write(result.GetValue(map), true, stream => simulated.Map!.WriteArray(stream), context);
            if (result.GetValue(picture) is { } name)
            {
                WritePicture(name, simulated, layout?.Drawn, options.LevelCoulombsPerSquareMetre, context);
            }

            return result.GetValue(limit) is { } most ? Judge(simulated, most, context) : ExitCode.Done;
        });
    }

    private static (ContourSet Drawn, long Grid) ReadReference(string name, Job job, DrawingArguments drawing, ParseResult result, CommandContext context)
    {
        using InputStream source = context.Open(name);
        FlatLayout flat = FlattenPass.Run(drawing.Read(source, job, result, context), StageOptions.Flatten(job), context.Sink, context.Cancellation);
        var rings = new ContourSetBuilder();
        foreach (FlatLayer group in flat.Groups)
        {
            for (int i = 0; i < group.Area.Count; i++)
            {
                foreach (GridPoint point in group.Area[i])
                {
                    rings.Add(point);
                }

                rings.EndRing();
            }
        }

        return (RegionBoolean.Merge(rings.ToContourSet(), cancellation: context.Cancellation), flat.GridPicometres);
    }

    private static void WriteReport(SimulationResult simulated, string name, bool asJson, CommandContext context)
    {
        using OutputFile file = context.Outputs.Create(name);
        if (asJson)
        {
            SimulationReport.WriteJson(simulated, file.Stream);
        }
        else
        {
            file.Stream.Write(Encoding.UTF8.GetBytes(SimulationReport.Text(simulated)));
        }

        file.Commit();
    }

    private static LayoutDocument PrintedLayout(SimulationResult simulated) => new(
        simulated.GridPicometres,
        ["printed"],
        [new Cell("drawing", [new PolygonShape(0, DoseFactor.One, simulated.Printed, FillRule.NonZero)], [])],
        "drawing");

    private static void WritePicture(string name, SimulationResult simulated, ContourSet? drawn, double level, CommandContext context)
    {
        Scene scene = SimulationPicture.Compose(simulated, drawn, level, new PictureOptions());
        bool isSvg = name.EndsWith(".svg", StringComparison.OrdinalIgnoreCase);
        Write(name, !isSvg, stream => (isSvg ? (Action<Scene, Stream>)SvgRenderer.Render : PngRenderer.Render)(scene, stream), context);
    }

    private static void Write(string? name, bool isBinary, Action<Stream> write, CommandContext context)
    {
        if (name is null)
        {
            return;
        }

        using OutputFile file = context.Outputs.Create(name, isBinary);
        write(file.Stream);
        file.Commit();
    }

    private static int Judge(SimulationResult simulated, Quantity most, CommandContext context)
    {
        double worst = Math.Abs(simulated.Edges?.WorstNanometres ?? 0);
        bool isWithin = worst <= most.In(Unit.Nanometre) && simulated.Strays.IsEmpty && simulated.Edges is not { Lost: > 0 };
        if (!isWithin)
        {
            context.Messages.Report(new Diagnostic(
                CommandCodes.LimitExceeded,
                Severity.Error,
                $"the worst edge is off by {QuantityText.Format(worst * 1e-9, Dimension.Length)}, the limit is {most}; {simulated.Strays.Length} places print where nothing is drawn, {simulated.Edges?.Lost ?? 0} edges are lost",
                Fix: "see the report and the picture"));
        }

        return isWithin ? ExitCode.Done : ExitCode.Violation;
    }

    private static CompileException MissingSpread(string process) => new(
        CommandCodes.NoSpread,
        $"the process '{process}' does not say how energy spreads, so nothing can be predicted",
        fix: "add 'spread' to the process file; 'patternc init' shows it with typical values");
}
