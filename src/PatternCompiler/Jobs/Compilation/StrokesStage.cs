using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Fill.Automatic;
using PatternCompiler.Passes.Route;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>
/// From figures to strokes: spacings are chosen, figures filled, jumps led around, and the beam sent to its waiting place. Where jumps
/// are to be led around, several plans are tried and judged by what the records made from them would print; the one that prints least
/// is taken.
/// </summary>
internal static class StrokesStage
{
    /// <summary>Fills figures.</summary>
    /// <param name="figures">The figures.</param>
    /// <param name="settings">Job, machine and process.</param>
    /// <param name="output">Takes the strokes.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Stops the work.</param>
    public static StrokesReport Run(
        FiguresDocument figures,
        BuildSettings settings,
        IDocumentSink<StrokesHeader, Stroke> output,
        DiagnosticSink sink,
        CancellationToken cancellation)
    {
        ParkCheck.Run(figures, settings.Machine, settings.Process, StageOptions.Park(settings.Machine), sink);
        ApproachCheck.Run(figures, settings.Machine);
        FillOptions asked = StageOptions.Fill(settings.Job, settings.Machine, settings.Process);
        (FillOptions straight, ImmutableArray<SpacingChoice> choices) = SpacingPass.Run(figures, asked, sink, cancellation);
        try
        {
            return Run(figures, settings, straight, choices, output, sink, cancellation);
        }
        catch (CompileException fault) when (fault.Diagnostic.Code == ScaleCodes.DwellTooShort && DwellRemedy.For(fault.Diagnostic, figures, asked, cancellation) is { } fix)
        {
            throw new CompileException(fault.Diagnostic with { Fix = fix }, fault);
        }
    }

    private static StrokesReport Run(
        FiguresDocument figures,
        BuildSettings settings,
        FillOptions straight,
        ImmutableArray<SpacingChoice> choices,
        IDocumentSink<StrokesHeader, Stroke> output,
        DiagnosticSink sink,
        CancellationToken cancellation)
    {
        (long X, long Y)? park = StageOptions.Park(settings.Machine);
        if (StageOptions.Route(settings.Job, settings.Machine, settings.Process) is not RouteOptions route || figures.Figures.Count == 0)
        {
            return new StrokesReport(new(choices, Write(figures, straight, null, park, AsScanned(settings.Machine, output, sink), sink, cancellation)), null);
        }

        StrayReport before = Judge(straight, null);
        (FillOptions Fill, RouteOptions? Route, StrayReport Report) best = (straight, null, before);
        foreach (FillOptions plan in (IEnumerable<FillOptions>)[straight with { Order = straight.Order with { Islands = FigureIslands.Of(figures) } }, straight])
        {
            if (best.Report.Printing > 0 && Judge(plan, route) is { } report && report.Harm < best.Report.Harm)
            {
                best = (plan, route, report);
            }
        }

        ImmutableArray<LayerTravel> travels = Write(figures, best.Fill, best.Route, park, AsScanned(settings.Machine, output, sink), sink, cancellation);
        if (before.Printing > 0)
        {
            sink.Note(
                OrderCodes.HiddenTravel,
                $"jumps led around: {StrayText.CountOf(best.Report)}; led straight, {StrayText.CountOf(before)}");
        }

        return new StrokesReport(new(choices, travels), before);

        StrayReport Judge(FillOptions fill, RouteOptions? route)
        {
            var scan = StrayScan.For(settings.Machine, settings.Process);
            var scale = new ScalePass(StageOptions.Scale(settings.Job, settings.Machine), scan);
            Write(figures, fill, route, park, AsScanned(settings.Machine, scale, new DiagnosticSink()), new DiagnosticSink(), cancellation);
            return scan.ToReport();
        }
    }

    /// <summary>Puts the loops and approaches that the machine file asks for before a sink.</summary>
    private static IDocumentSink<StrokesHeader, Stroke> AsScanned(Machine machine, IDocumentSink<StrokesHeader, Stroke> output, DiagnosticSink sink)
    {
        if (StageOptions.ApproachFemtometres(machine) is long approach and > 0)
        {
            output = new ApproachedStrokes(output, approach, sink);
        }

        return machine.Settle.Conditioning is { } loops
            ? new ConditionedStrokes(output, StageOptions.ConditioningCorners(machine, loops), loops.Count)
            : output;
    }

    /// <summary>Fills figures, with jumps led around and the beam sent to its waiting place where these are given.</summary>
    internal static ImmutableArray<LayerTravel> Write(
        FiguresDocument figures,
        FillOptions fill,
        RouteOptions? route,
        (long X, long Y)? park,
        IDocumentSink<StrokesHeader, Stroke> output,
        DiagnosticSink sink,
        CancellationToken cancellation)
    {
        if (route is not null)
        {
            output = RoutedStrokes.Before(output, figures, fill, route, cancellation);
        }

        if (park is (long x, long y))
        {
            output = new ParkedStrokes(output, x, y);
        }

        return FillPass.Run(figures, fill, output, sink, cancellation);
    }
}

/// <summary>What came of filling.</summary>
/// <param name="Fill">What filling decided.</param>
/// <param name="IfStraight">What straight jumps in the order asked for would print, if jumps are led around; otherwise null.</param>
internal sealed record StrokesReport(FillReport Fill, StrayReport? IfStraight)
{
    /// <summary>Nothing was filled.</summary>
    public static StrokesReport Empty { get; } = new(FillReport.Empty, null);

    /// <summary>Together with what came of filling another field.</summary>
    public StrokesReport With(StrokesReport other) => new(
        FieldFill.Join(Fill, other.Fill),
        IfStraight is null || other.IfStraight is null ? IfStraight ?? other.IfStraight : IfStraight.With(other.IfStraight));
}
