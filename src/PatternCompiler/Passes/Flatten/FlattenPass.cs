using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
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
internal static class FlattenPass
{
    /// <summary>Runs the pass.</summary>
    /// <param name="input">The layout.</param>
    /// <param name="options">Chord error, layers, limits.</param>
    /// <param name="sink">Takes a warning of what is drawn or placed twice on one place.</param>
    /// <param name="cancellation">Stops the pass.</param>
    /// <exception cref="CompileException">A cell is missing or contains itself, a layer is unknown or empty, or the result is too large or beyond the grid.</exception>
    public static FlatLayout Run(LayoutDocument input, FlattenOptions options, DiagnosticSink sink, CancellationToken cancellation = default)
    {
        double chordError = options.ChordErrorNanometres * 1000 / input.GridPicometres;
        var census = new ShapeCensus(input.Layers, options.Layers, chordError);
        var survey = new HierarchySurvey(input, census);
        census.RequireShapes(survey.UsedCells);
        survey.Require(options.Limits);
        var flattener = new Flattener(survey, census, input.Places, input.GridPicometres, chordError, options.Limits, cancellation);
        var result = new FlatLayout(input.GridPicometres, input.Layers, flattener.Run());
        Report(input, survey, flattener, sink);
        return result;
    }

    private static void Report(LayoutDocument input, HierarchySurvey survey, Flattener flattener, DiagnosticSink sink)
    {
        if (survey.FirstRepeated is (Cell placing, Instance repeated))
        {
            WarnOnce(
                HierarchyCodes.Repeated,
                $"{Count(survey.RepeatedCopies, "copy of a cell lies", "copies of cells lie")} exactly on another one, the first of cell '{repeated.CellName}' in cell '{placing.Name}'; one is written",
                "check the steps of arrays and the places of copies",
                repeated.Place);
        }

        if (flattener.FirstRepeated is (Cell cell, Shape shape))
        {
            WarnOnce(
                HierarchyCodes.Repeated,
                $"{Count(flattener.RepeatedShapes, "shape lies", "shapes lie")} exactly on another one, the first on layer '{survey.LayerName(shape)}' of cell '{cell.Name}'; one is written",
                "delete the repeats; where more dose is meant, give the shape a dose factor",
                shape.Place);
        }

        if (flattener.FirstVanished is (int layer, string within))
        {
            WarnOnce(
                HierarchyCodes.Vanished,
                $"{Count(flattener.Vanished, "shape is", "shapes are")} smaller than the grid where the cell is placed, and not exposed, the first on layer '{input.Layers[layer]}' of cell '{within}'",
                "choose a finer grid, or place the cell larger",
                flattener.FirstVanishedIn);
        }

        // A build flattens its layout more than once.
        void WarnOnce(DiagnosticCode code, string message, string fix, PlaceId place)
        {
            if (!sink.Collected.Any(known => known.Code == code && known.Message == message))
            {
                sink.Warn(code, message, input.Places.Find(place) ?? default, fix);
            }
        }
    }

    private static string Count(double count, string one, string many) =>
        count == 1 ? $"1 {one}" : string.Create(CultureInfo.InvariantCulture, $"{(count < 1e15 ? ((long)count).ToString(CultureInfo.InvariantCulture) : count.ToString("0.##e+0", CultureInfo.InvariantCulture))} {many}");
}
