using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Boolean;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Offset;
using PatternCompiler.Places;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>The first stage of a job: its drawings, read and laid over each other, its operations, the bias of its edges, and the place in the field.</summary>
internal static class LayoutStage
{
    /// <summary>Reads and places the drawings of a job.</summary>
    /// <exception cref="CompileException">A drawing is faulty, or the job asks for something that the drawings do not have.</exception>
    /// <param name="job">The job.</param>
    /// <param name="files">Where the drawings are.</param>
    /// <param name="places">Learns what was drawn where.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Stops the work.</param>
    public static LayoutDocument Run(Job job, IBuildFiles files, MessagePlaces places, DiagnosticSink sink, CancellationToken cancellation)
    {
        List<(LayoutDocument Layout, JobSource Source)> drawings = [];
        foreach (JobSource source in job.Sources)
        {
            using Stream stream = files.OpenDrawing(source.Path);
            DrawingOptions options = StageOptions.Drawing(job, source) with { OpenInclude = files.OpenInclude };
            LayoutDocument drawing = DrawingReader.Read(stream, source.Path, options, sink, cancellation);
            if (drawing.IsPlaced && job.Sources.Length > 1)
            {
                throw new CompileException(
                    JobCodes.PlacedAmongOthers,
                    "this layout is placed in the field already, and other drawings are not",
                    new SourcePlace(source.Path),
                    "build it alone, or name the drawing that it was made from");
            }

            drawings.Add((drawing, source));
        }

        LayoutDocument assembled = SourceAssembly.Run(drawings);
        LayoutDocument drawn = drawings is [(LayoutDocument { IsPlaced: true }, _)] ? assembled with { IsPlaced = true } : assembled;
        var pattern = new DrawnPattern(drawn, drawn.IsPlaced ? LayerOrigins.None : LayerOrigins.Of(job));
        places.Drawing = pattern;
        (LayoutDocument layout, GridPoint move) = PlaceBy(job, drawn, sink, cancellation);

        // What has no operations is the same layout, moved; it is not held twice.
        places.Drawing = pattern with { Layout = pattern.Origins.IsEmpty && StageOptions.Bias(job) is null ? layout : SourceAssembly.Moved(drawn, move) };
        return layout;
    }

    /// <summary>
    /// Runs a job's operations, moves edges, and puts the result where the job wants it; once: a layout that is placed already
    /// stays as it is.
    /// </summary>
    public static LayoutDocument Place(Job job, LayoutDocument layout, DiagnosticSink sink, CancellationToken cancellation) =>
        PlaceBy(job, layout, sink, cancellation).Layout;

    private static (LayoutDocument Layout, GridPoint Move) PlaceBy(Job job, LayoutDocument layout, DiagnosticSink sink, CancellationToken cancellation)
    {
        if (layout.IsPlaced)
        {
            SourceAssembly.RequireLayers(job, layout);
            return (layout, default);
        }

        (LayoutDocument placed, GridPoint move) = Transform(job, layout, sink, cancellation);
        return (ReferenceEquals(placed, layout) ? layout : placed with { IsPlaced = true }, move);
    }

    private static (LayoutDocument Layout, GridPoint Move) Transform(Job job, LayoutDocument layout, DiagnosticSink sink, CancellationToken cancellation)
    {
        layout = OperationsStage.Run(job, layout, sink, cancellation);
        SourceAssembly.RequireLayers(job, layout);
        if (StageOptions.Bias(job) is OffsetOptions bias)
        {
            FlatLayout drawn = FlattenPass.Run(layout, StageOptions.Flatten(job), sink, cancellation);
            FlatLayout biased = OffsetPass.Run(drawn, bias, sink, cancellation);
            layout = BooleanPass.Run(biased, new BooleanOptions { KeepOtherLayers = true, Limits = job.Limits }, sink, cancellation);
        }

        if (job.Position == PatternPosition.AsDrawn)
        {
            return (layout, default);
        }

        FlatLayout flat = FlattenPass.Run(layout, StageOptions.Flatten(job), sink, cancellation);
        GridPoint move = PatternBounds.MoveToCentre(flat);
        return (SourceAssembly.Moved(layout, move), move);
    }
}
