using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Passes.Flatten;

/// <summary>
/// Resolves the hierarchy of a layout: every copy of every cell in its place, curves as polygons, paths as outlines,
/// grouped by layer and dose factor.
/// </summary>
/// <remarks>
/// Copies that are only moved, mirrored or turned by quarter turns are congruent to the last grid step. Other copies are
/// worked out in double precision and rounded once, halves away from zero.
/// </remarks>
public static class FlattenPass
{
    /// <summary>Runs the pass.</summary>
    /// <param name="input">The layout.</param>
    /// <param name="options">Chord error, layers, limits.</param>
    /// <param name="sink">Not used so far by this pass: everything wrong is an error.</param>
    /// <param name="cancellation">Stops the pass.</param>
    /// <exception cref="CompileException">A cell is missing or contains itself, a layer is unknown or empty, or the result is too large or beyond the grid.</exception>
    public static FlatLayout Run(LayoutDocument input, FlattenOptions options, DiagnosticSink sink, CancellationToken cancellation = default)
    {
        double chordError = options.ChordErrorNanometres * 1000 / input.GridPicometres;
        var census = new ShapeCensus(input.Layers, options.Layers, chordError);
        var survey = new HierarchySurvey(input, census);
        census.RequireShapes(survey.UsedCells);
        survey.RequirePoints(options.MaximumPoints);
        var flattener = new Flattener(survey, census, input.GridPicometres, chordError, cancellation);
        return new FlatLayout(input.GridPicometres, input.Layers, flattener.Run());
    }
}
