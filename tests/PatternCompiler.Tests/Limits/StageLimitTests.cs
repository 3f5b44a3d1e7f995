using System.Text;
using PatternCompiler.BackEnds.Drawing;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Jobs;
using PatternCompiler.Limits;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Passes.Offset;
using PatternCompiler.Model.Layout;
using PatternCompiler.Tests.FrontEnds.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Limits;

/// <summary>Each stage holds its limit, here a small one, and keeps below it what it always did.</summary>
public sealed class StageLimitTests
{
    private const string Head = "layout 1\nunit um\nlayer a\n";

    // Four bars over four: 16 places where they cross, each of four crossings.
    private const string Lattice =
        "cell bar\npolygon on a (0, 0) (100, 1) (100, 2) (0, 1)\nend\narray bar at (0, 0) rows 4 row-step 10\n"
        + "cell post\npolygon on a (10, -5) (11, -5) (12, 60) (11, 60)\nend\narray post at (0, 0) columns 4 column-step 10\n";

    [Fact]
    public void Crossings_beyond_the_share_of_the_edges_are_refused_whatever_the_threads()
    {
        ContourSet rings = RandomRing(400);
        foreach (int threads in new[] { 1, 2, 5 })
        {
            RegionBoolean.Merge(rings, FillRule.EvenOdd, threads, limits: WorkLimits.Usual.With(WorkKind.Crossings, 40_000));
            CompileException fault = Assert.Throws<CompileException>(
                () => RegionBoolean.Merge(rings, FillRule.EvenOdd, threads, limits: WorkLimits.Usual.With(WorkKind.Crossings, 5_000).At("layer 'a'")));
            Assert.Equal(
                "layer 'a': error PC0770: the shapes have more than the 5000 crossings of edges that are allowed beyond 8 for each edge nearby; look for shapes that were drawn or copied over each other many times; if it is meant so, raise 'limits: crossings' in the job",
                fault.Diagnostic.ToString());
        }
    }

    [Fact]
    public void Few_crossings_keep_any_limit()
    {
        FlatLayout flat = Flat(Lattice, WorkLimits.Usual);
        FracturePass.Run(flat, new FractureOptions { Limits = WorkLimits.Usual.With(WorkKind.Crossings, 0) }, new DiagnosticSink(), default);
    }

    [Fact]
    public void Copies_of_cells_are_counted_with_those_inside()
    {
        string nest = "cell d\ndot on a at (0, 0)\nend\ncell e\narray d at (0, 0) columns 10 column-step 1\nend\narray e at (0, 0) rows 10 row-step 1\n";
        Assert.Single(Flat(nest, WorkLimits.Usual.With(WorkKind.Copies, 110 - 32)).Groups);
        Assert.Equal(
            "error PC1024: written out flat, this drawing has 110 copies of cells; 109 are allowed (77, and 16 for each placement drawn); check the largest array: cell 'e' places 'd' 10 x 1 times; if it is meant so, raise 'limits: copies' in the job",
            Error(() => Flat(nest, WorkLimits.Usual.With(WorkKind.Copies, 77))));
    }

    [Theory]
    [InlineData(DrawingFormat.Dxf)]
    [InlineData(DrawingFormat.Gdsii)]
    [InlineData(DrawingFormat.Svg)]
    internal void Drawings_are_written_within_the_limits(DrawingFormat format) =>
        Assert.Contains(
            "points; 1048 are allowed (1000, and 16 for each point drawn)",
            Error(() => DrawingWriter.Write(
                LayoutText.Read(Head + "path on a width 2000 ends round (0, 0) (9000, 0) (9000, 9000)\n"),
                format,
                Stream.Null,
                new DrawingWriteOptions { ChordErrorNanometres = 0.001, Limits = WorkLimits.Usual.With(WorkKind.Vertices, 1000) },
                new DiagnosticSink())),
            StringComparison.Ordinal);

    [Theory]
    [InlineData("circle on a at (0, 0) radius 1000")]
    [InlineData("ring on a at (0, 0) outer 1000 inner 900")]
    public void Circles_are_written_as_polygons_within_the_limits(string shape) =>
        Assert.Contains(
            "written out flat, this drawing has more than the 1000 points that are allowed beyond 16 for each point drawn",
            Error(() => DrawingWriter.Write(
                LayoutText.Read(Head + shape + "\n"),
                DrawingFormat.Gdsii,
                Stream.Null,
                new DrawingWriteOptions { ChordErrorNanometres = 0.1, Limits = WorkLimits.Usual.With(WorkKind.Vertices, 1000) },
                new DiagnosticSink())),
            StringComparison.Ordinal);

    [Fact]
    public void Fine_curves_are_counted_before_they_are_made() =>
        Assert.Contains(
            "points; 1016 are allowed (1000, and 16 for each point drawn); choose fewer layers or a larger chord error, or check the counts of arrays; if it is meant so, raise 'limits: vertices' in the job",
            Error(() => FlattenPass.Run(
                LayoutText.Read(Head + "circle on a at (0, 0) radius 1000\n"),
                new FlattenOptions { ChordErrorNanometres = 0.1, Limits = WorkLimits.Usual.With(WorkKind.Vertices, 1000) },
                new DiagnosticSink())),
            StringComparison.Ordinal);

    [Theory]
    [InlineData(1e4)]
    [InlineData(-1e4)]
    public void Round_corners_of_far_moves_are_counted_before_they_are_made(double distance) =>
        Assert.Equal(
            "layer 'a': error PC0770: moved this far, the outlines need more than the 1128 points about their corners that are allowed (1000, and 16 for each point drawn); move them by less, or choose a larger chord error; if it is meant so, raise 'limits: corners' in the job",
            Error(() => Move(distance, WorkLimits.Usual.With(WorkKind.Corners, 1000))));

    [Fact]
    public void A_move_beyond_the_coordinates_leaves_them_or_leaves_nothing()
    {
        Assert.Contains("layer \"a\" grows beyond the largest coordinate", Error(() => Move(1e30, WorkLimits.Usual)), StringComparison.Ordinal);
        Assert.Equal(0, Assert.Single(Move(-1e30, WorkLimits.Usual).Groups).Area.Count);
    }

    [Fact]
    public void Divided_figures_are_counted() =>
        Assert.Equal(
            "layer 'a': error PC0770: this makes 10000000000 divided figures; 1016 are allowed (1000, and 16 for each figure); choose a larger 'fracture.largest_figure'; if it is meant so, raise 'limits: figures' in the job",
            Error(() => FracturePass.Run(
                Flat("rect on a from (0, 0) to (1000, 1000)\n", WorkLimits.Usual),
                new FractureOptions { LargestFigureNanometres = 10, Limits = WorkLimits.Usual.With(WorkKind.Figures, 1000) },
                new DiagnosticSink(),
                default)));

    [Theory]
    [InlineData("<path d=\"M0 0 L1 1 L2 0 L0 0 L1 1 L2 0 L0 0 L1 1 L2 0 Z\"/>")]
    [InlineData("<style>.a { fill: red; stroke: none; fill: blue; stroke: none; opacity: 1 }</style>")]
    [InlineData("<style><![CDATA[.a { fill: red } /* <<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<<< */]]></style>")]
    public void Long_attributes_and_style_sheets_of_svg_are_refused(string content)
    {
        string svg = $"<svg>\n<g id=\"a\"/>\n{content}</svg>";
        string error = Error(() => Read(svg, WorkLimits.Usual.With(WorkKind.Text, 50)));
        Assert.Equal(
            "d.svg:3: error PC0770: an attribute, a text or a comment here is longer than the 50 bytes that are allowed; draw it as several shapes, or take out an embedded picture; if it is meant so, raise 'limits: text' in the job",
            error);
    }

    [Fact]
    public void Repeats_of_a_text_layout_are_counted() =>
        Assert.Contains(
            "error PC0218: more than 3 statements are repeated",
            Error(() => Read(Head + "repeat 4\ndot on a at (0, 0)\nend\n", WorkLimits.Usual.With(WorkKind.Expansion, 3))),
            StringComparison.Ordinal);

    [Fact]
    public void The_job_raises_limits()
    {
        Job job = JobFile.Parse("job: a\nlimits: {crossings: 12, points: 1000000000000}\n", "job.yaml");
        Assert.Equal(12, job.Limits[WorkKind.Crossings]);
        Assert.Equal(1_000_000_000_000, job.Limits[WorkKind.Points]);
        Assert.Equal(WorkKind.Vertices.Start, job.Limits[WorkKind.Vertices]);
        Assert.Equal(12, StageOptions.Fracture(job).Limits[WorkKind.Crossings]);
        Assert.Equal(12, StageOptions.Flatten(job).Limits[WorkKind.Crossings]);
        Assert.Contains("did you mean 'crossings'", Error(() => JobFile.Parse("job: a\nlimits: {crosings: 12}\n", "job.yaml")), StringComparison.Ordinal);
        Assert.Contains("must be from 0 to 1000000000000000", Error(() => JobFile.Parse("job: a\nlimits: {copies: -1}\n", "job.yaml")), StringComparison.Ordinal);
    }

    [Fact]
    public void The_built_in_job_file_lists_every_limit_with_its_usual_value()
    {
        string[] lines = DefaultFiles.JobText.Split('\n');
        Assert.All(WorkKind.All, kind => Assert.Contains(lines, line => line.StartsWith($"#   {kind.Key}: {kind.Start} ", StringComparison.Ordinal)));
    }

    [Fact]
    public void What_lies_on_itself_is_drawn_once_and_said()
    {
        var sink = new DiagnosticSink();
        FlatLayout flat = FlattenPass.Run(
            LayoutText.Read(Head
                + "cell d\npolygon on a (0, 0) (9, 1) (5, 7)\npolygon on a (0, 0) (9, 1) (5, 7)\ncircle on a at (20, 0) radius 1\ncircle on a at (20, 0) radius 1\ndot on a at (1, 1)\ndot on a at (1, 1)\nend\n"
                + "array d at (0, 0) columns 1000000 column-step 0\nplace d at (0, 0)\nplace d at (0, 0)\n"),
            FlattenOptions.Default,
            sink);
        Assert.Equal(2, flat.Groups[0].Area.Count);
        Assert.Single(flat.Groups[0].Dots);
        Assert.Equal(
            [
                "chip.layout:12 (array): warning PC1070: 1000001 copies of cells lie exactly on another one, the first of cell 'd' in cell 'drawing'; one is written; check the steps of arrays and the places of copies",
                "chip.layout:6 (polygon on layer a): warning PC1070: 3 shapes lie exactly on another one, the first on layer 'a' of cell 'd'; one is written; delete the repeats; where more dose is meant, give the shape a dose factor",
            ],
            sink.Collected.Select(diagnostic => diagnostic.ToString()));
    }

    [Theory]
    [InlineData(3, 30, 2, 60, 5, 1)]
    [InlineData(4, 40, 3, 20, 1, 9)]
    [InlineData(3, 30, 2, 120, 3, 2)]
    [InlineData(3, 0, 2, 120, 1, 2)]
    [InlineData(3, 0, 2, 0, 1, 1)]
    [InlineData(3, 30, 2, -30, 3, 2)]
    public void Arrays_along_one_line_keep_each_place_once(int columns, int columnStep, int rows, int rowStep, int keptColumns, int keptRows)
    {
        var array = new Repetition(columns, rows, new GridPoint(columnStep, 2 * columnStep), new GridPoint(rowStep, 2 * rowStep));
        var cell = new Cell("c", [], [new Instance("d", default, Orientation.Identity, array, DoseFactor.One)]);
        DistinctPlacements distinct = DistinctPlacements.Of(cell);
        Repetition kept = Assert.Single(distinct.Instances).Repetition;
        Assert.Equal((keptColumns, keptRows), (kept.Columns, kept.Rows));
        Assert.Equal((columns * rows) - (keptColumns * keptRows), distinct.Repeated);
        if (rowStep >= 0)
        {
            Assert.Equal(Places(array), Places(kept));
        }

        static SortedSet<(int, int)> Places(Repetition r) =>
            [.. from i in Enumerable.Range(0, r.Columns) from j in Enumerable.Range(0, r.Rows) select ((i * r.ColumnStep.X) + (j * r.RowStep.X), (i * r.ColumnStep.Y) + (j * r.RowStep.Y))];
    }

    [Theory]
    [InlineData("polygon on a (0, 0) (9, 1) (5, 7)\npolygon on a dose 2 (0, 0) (9, 1) (5, 7)\n")]
    [InlineData("polygon on a (0, 0) (9, 1) (5, 7)\npolygon on a (0, 0) (5, 7) (9, 1)\n")]
    [InlineData("cell d\ndot on a at (0, 0)\nend\nplace d at (0, 0)\nplace d at (0, 0) dose 2\narray d at (5, 0) columns 3 column-step 0 column-dose 0.1\n")]
    public void What_differs_is_kept(string text)
    {
        var sink = new DiagnosticSink();
        FlattenPass.Run(LayoutText.Read(Head + text), FlattenOptions.Default, sink);
        Assert.Empty(sink.Collected);
    }

    private static FlatLayout Flat(string text, WorkLimits limits) =>
        FlattenPass.Run(LayoutText.Read(Head + text), new FlattenOptions { Limits = limits }, new DiagnosticSink());

    private static void Read(string text, WorkLimits limits)
    {
        using var stream = new MemoryStream(Encoding.UTF8.GetBytes(text));
        DrawingReader.Read(stream, text[0] == '<' ? "d.svg" : "d.layout", new DrawingOptions { Limits = limits }, new DiagnosticSink());
    }

    private static ContourSet RandomRing(int count)
    {
        var random = new Random(1);
        var points = new GridPoint[count];
        for (int i = 0; i < count; i++)
        {
            points[i] = new GridPoint(random.Next(100_000), random.Next(100_000));
        }

        return ContourSet.FromRing(points);
    }

    private static string Error(Action act) => Assert.Throws<CompileException>(act).Diagnostic.ToString();

    // A frame: its corners are turned around on the outside whichever way it is moved.
    private static FlatLayout Move(double distanceNanometres, WorkLimits limits) => OffsetPass.Run(
        Flat("polygon on a (0, 0) (9, 0) (9, 9) (0, 9) (0, 1) (1, 1) (1, 8) (8, 8) (8, 1) (0, 1)\n", WorkLimits.Usual),
        new OffsetOptions { Offsets = [new(null, distanceNanometres)], Join = OffsetJoin.Round, ChordErrorNanometres = 0.001, Limits = limits },
        new DiagnosticSink(),
        default);
}
