using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fracture;

/// <summary>
/// Merges the areas of each layer and dose factor and cuts them into trapezoids. A polyline becomes one line figure per
/// segment, and what runs along another line is written once; a dot stays a dot. Figures are ordered by layer, then dose factor; within those come areas (by bottom, then
/// from left to right; with vertical parallel sides by left, then from the bottom up), lines and dots as drawn.
/// </summary>
internal static class FracturePass
{
    /// <summary>Runs the pass.</summary>
    /// <exception cref="CompileException">Nothing is left to write.</exception>
    public static FiguresDocument Run(
        FlatLayout input,
        FractureOptions options,
        DiagnosticSink sink,
        CancellationToken cancellation)
    {
        var figures = new FigureList();
        var areas = new AreaFracturer(input, options, sink);
        for (int group = 0; group < input.Groups.Length; group++)
        {
            FlatLayer flat = input.Groups[group];
            areas.AddFigures(group, figures, cancellation);
            AddLines(input, flat, figures, sink);

            foreach (GridPoint dot in flat.Dots)
            {
                figures.Add(Figure.FromDot(flat.Layer, flat.DoseFactor, dot));
            }
        }

        if (figures.Count == 0)
        {
            throw new CompileException(
                FractureCodes.NothingToWrite,
                "the layout holds no area, line or dot to write",
                fix: "check which layers are chosen and whether the drawing has closed outlines on them");
        }

        return new FiguresDocument(new FiguresHeader(input.GridPicometres, input.LayerNames), figures);
    }

    private static void AddLines(FlatLayout input, FlatLayer flat, FigureList figures, DiagnosticSink sink)
    {
        var lines = new LineOverlaps();
        foreach (var line in flat.Lines)
        {
            for (int i = 1; i < line.Length; i++)
            {
                lines.Add(line[i - 1], line[i]);
            }
        }

        figures.AddRange(lines.Merge().Select(line => Figure.FromLine(flat.Layer, flat.DoseFactor, line.From, line.To)));
        if (lines.Count > 0)
        {
            string along = LengthText.Micrometres((long)Math.Round(lines.Length, MidpointRounding.AwayFromZero), input.GridPicometres);
            sink.Note(
                FractureCodes.LinesOverlap,
                $"{CountText.Of(lines.Count, "line of layer", "lines of layer")} {input.LayerNames[flat.Layer]} {CountText.Word(lines.Count, "runs", "run")} along lines drawn before, over {along} um in all, first from {At(lines.First.From)} to {At(lines.First.To)} um; that length is written once",
                SourcePlace.OfPoint(
                    input.LayerNames[flat.Layer],
                    ((double)lines.First.From.X + lines.First.To.X) / 2 * input.GridPicometres / 1000,
                    ((double)lines.First.From.Y + lines.First.To.Y) / 2 * input.GridPicometres / 1000));
        }

        string At(GridPoint p) => $"({LengthText.Micrometres(p.X, input.GridPicometres)}, {LengthText.Micrometres(p.Y, input.GridPicometres)})";
    }
}
