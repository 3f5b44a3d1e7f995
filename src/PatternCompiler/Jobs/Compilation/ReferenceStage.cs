using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Layout;
using PatternCompiler.Geometry;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Places;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>
/// The drawing that a print is measured against, with curves so fine that an edge is measured against the curve and not
/// against the chords that a build makes of it.
/// </summary>
internal static class ReferenceStage
{
    /// <summary>Largest distance between a curve and its chords.</summary>
    public const double ChordErrorNanometres = 0.02;

    private const long GridPicometres = 10;

    /// <summary>Reads a job's drawings, in place. Nothing of the job's grid and chord error is left but where a centred pattern stands.</summary>
    public static FlatLayout Run(Job job, IBuildFiles files, DiagnosticSink sink, CancellationToken cancellation)
    {
        long grid = GridRefinement.CommonGrid([job.GridPicometres, GridPicometres]);
        Job fine = job with
        {
            GridPicometres = grid,
            ChordErrorNanometres = Math.Min(job.ChordErrorNanometres, ChordErrorNanometres),
            Position = PatternPosition.AsDrawn,
        };
        LayoutDocument layout = LayoutStage.Run(fine, files, new MessagePlaces(), sink, cancellation);
        long own = layout.GridPicometres;
        layout = GridRefinement.Run(layout, GridRefinement.CommonGrid([own, grid]), job.Sources[0].Path);
        FlatLayout flat = FlattenPass.Run(layout, StageOptions.Flatten(fine), sink, cancellation);
        if (job.Position == PatternPosition.AsDrawn || layout.IsPlaced)
        {
            return flat;
        }

        // The build has moved its pattern by whole steps of its own grid.
        long step = Math.Max(own, job.GridPicometres) / flat.GridPicometres;
        GridPoint move = PatternBounds.MoveToCentre(flat);
        LayoutDocument moved = SourceAssembly.Moved(layout, new GridPoint(OnSteps(move.X), OnSteps(move.Y)));
        return FlattenPass.Run(moved, StageOptions.Flatten(fine), sink, cancellation);

        int OnSteps(int length) => (int)(Math.Ceiling((double)length / step) * step);
    }
}
