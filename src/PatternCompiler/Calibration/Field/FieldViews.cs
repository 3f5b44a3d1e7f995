using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Field;

/// <summary>
/// Where the marks of one sample are seen in several views of it, between which it was turned and moved. A view is a picture that the
/// deflection itself has scanned: a place in it, from its middle, is a commanded place.
/// </summary>
/// <param name="Names">Names of the views.</param>
/// <param name="Marks">What is seen, without marks that only one view shows.</param>
/// <param name="MarkCount">Number of different marks among them.</param>
internal sealed record FieldViews(ImmutableArray<string> Names, ImmutableArray<SeenMark> Marks, int MarkCount)
{
    /// <summary>The column that holds words.</summary>
    public static readonly string[] WordColumns = ["view"];

    private const int MostSeen = 20_000;

    // A picture may be a little larger than the field that is written.
    private const double LargestPlace = 1.5;

    /// <summary>Reads the columns view, drawn x and y, seen x and y; the latter are empty where a view does not show a mark.</summary>
    /// <param name="table">The table.</param>
    /// <param name="halfFieldNanometres">Half of the field's width.</param>
    /// <exception cref="CompileException">The table is no such views.</exception>
    public static FieldViews Of(MeasurementTable table, double halfFieldNanometres)
    {
        string[] views = table.Words("view")!;
        double[] drawnX = table.Column("drawn x", Unit.Nanometre), drawnY = table.Column("drawn y", Unit.Nanometre);
        double[] seenX = table.Column("seen x", Unit.Nanometre), seenY = table.Column("seen y", Unit.Nanometre);
        if (table.Count > MostSeen)
        {
            throw new CompileException(CalibrationCodes.BadTable, $"the table has {table.Count} lines, more than {MostSeen}", fix: "fit fewer views or marks");
        }

        var rows = new Dictionary<(double X, double Y), List<int>>();
        var known = new HashSet<(string View, double X, double Y)>();
        for (int i = 0; i < table.Count; i++)
        {
            string? problem = views[i].Length == 0 ? "the line does not say in which view the mark is seen"
                : double.IsNaN(drawnX[i]) || double.IsNaN(drawnY[i]) ? "the line does not say where the mark is drawn, which is its name"
                : double.IsNaN(seenX[i]) != double.IsNaN(seenY[i]) ? "the mark is seen along one axis alone"
                : Math.Max(Math.Abs(seenX[i]), Math.Abs(seenY[i])) > LargestPlace * halfFieldNanometres ? $"the mark is seen beyond the field of {QuantityText.Format(2e-9 * halfFieldNanometres, Dimension.Length, 4)}"
                : !known.Add((views[i], drawnX[i], drawnY[i])) ? $"view '{views[i]}' shows the same mark twice"
                : null;
            if (problem is not null)
            {
                throw new CompileException(new Diagnostic(
                    CalibrationCodes.ImpossibleValue, Severity.Error, problem,
                    Fix: "a line holds the name of a view, the drawn place of a mark and where that view shows it, from its middle; leave 'seen' empty where it does not") { Measurement = i });
            }

            if (!double.IsNaN(seenX[i]))
            {
                (rows.TryGetValue((drawnX[i], drawnY[i]), out List<int>? seen) ? seen : rows[(drawnX[i], drawnY[i])] = []).Add(i);
            }
        }

        List<int>[] shared = [.. rows.Values.Where(seen => seen.Count > 1)];
        string[] names = [.. shared.SelectMany(seen => seen).Order().Select(i => views[i]).Distinct(StringComparer.Ordinal)];
        return shared.Length > 0
            ? new FieldViews(
                [.. names],
                [.. shared.SelectMany((seen, mark) => seen.Select(i => new SeenMark(mark, Array.IndexOf(names, views[i]), drawnX[i], drawnY[i], seenX[i], seenY[i])))],
                shared.Length)
            : throw new CompileException(
                CalibrationCodes.NotCovered,
                views.Distinct(StringComparer.Ordinal).Count() == 1 ? "there is only one view, in which distortion and places of the marks cannot be told apart" : "no mark is seen in two views",
                fix: "add views of the same marks, one with the sample turned by about 90 degrees and one with it moved by some pitches of the grid");
    }
}

/// <summary>One mark in one view, in nanometres.</summary>
/// <param name="Mark">Number of the mark.</param>
/// <param name="View">Number of the view.</param>
/// <param name="DrawnX">Where it is drawn; near to where it is on the sample.</param>
/// <param name="DrawnY">Likewise.</param>
/// <param name="SeenX">Where the view shows it, from the middle of the field.</param>
/// <param name="SeenY">Likewise.</param>
internal readonly record struct SeenMark(int Mark, int View, double DrawnX, double DrawnY, double SeenX, double SeenY);
