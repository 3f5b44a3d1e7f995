using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs;

public sealed class SourceAssemblyTests
{
    private static LayoutDocument Drawing(params string[] layers)
    {
        var shapes = ImmutableArray.CreateBuilder<Shape>();
        for (int i = 0; i < layers.Length; i++)
        {
            shapes.Add(new RectangleShape(i, DoseFactor.One, 0, 0, 10 * (i + 1), 10));
        }

        Cell child = new("child", [shapes[0]], []);
        Cell top = new("top", shapes.ToImmutable(), [new Instance("child", new GridPoint(5, 5), Orientation.Identity, Repetition.Once, DoseFactor.One)]);
        return new LayoutDocument(100, [.. layers], [child, top], "top");
    }

    [Fact]
    public void A_single_whole_drawing_comes_back_unchanged()
    {
        LayoutDocument drawing = Drawing("a", "b");
        Assert.Same(drawing, SourceAssembly.Run([(drawing, new JobSource("x.dxf"))]));
    }

    [Fact]
    public void A_prefix_tells_the_layers_of_two_drawings_apart()
    {
        LayoutDocument result = SourceAssembly.Run(
        [
            (Drawing("a", "b"), new JobSource("x.dxf")),
            (Drawing("b", "c"), new JobSource("y.dxf") { Reading = DrawingOptions.Default with { Layers = ["b"] }, Placement = new SourcePlacement { LayerPrefix = "new " } }),
        ]);
        Assert.Equal(["a", "b", "new b"], result.Layers.AsEnumerable());
        Assert.Equal([0, 1], result.Cells[1].Shapes.Select(shape => shape.Layer));
        Assert.Equal([2], result.Cells[3].Shapes.Select(shape => shape.Layer));
    }

    /// <summary>A cell that is made has its plain name, or the first number behind it that is free.</summary>
    [Fact]
    public void Cells_that_are_made_have_names_of_their_own()
    {
        LayoutDocument With(params string[] names) => Drawing("a") with
        {
            Cells = [new Cell("top", [], []), .. names.Select(name => new Cell(name, [], []))],
        };
        JobSource moved = new("x.dxf") { Placement = new SourcePlacement { OffsetXNanometres = 1 } };
        Assert.Equal("job", SourceAssembly.Run([(With(), moved)]).TopCell);
        Assert.Equal("job.1", SourceAssembly.Run([(With("job"), moved)]).TopCell);
        Assert.Equal("job.3", SourceAssembly.Run([(With("job", "job.1", "job.2"), moved)]).TopCell);
        Assert.Equal("placed", SourceAssembly.Moved(With(), new GridPoint(1, 0)).TopCell);
        Assert.Equal("placed.1", SourceAssembly.Moved(With("placed"), new GridPoint(0, 1)).TopCell);
        Assert.Equal(["top", "top.2", "top.3"], SourceAssembly.Run([(With(), moved), (With(), moved), (With(), moved)]).Cells[^1].Instances.Select(instance => instance.CellName));
        Assert.Equal(["top", "top.3"], SourceAssembly.Run([(With("top.2"), moved), (With(), moved)]).Cells[^1].Instances.Select(instance => instance.CellName));
    }

    [Fact]
    public void Layers_that_are_not_chosen_are_left_out()
    {
        LayoutDocument result = SourceAssembly.Run([(Drawing("a", "b"), new JobSource("x.dxf") with { Reading = DrawingOptions.Default with { Layers = ["b"] } })]);
        Assert.Equal(["b"], result.Layers.AsEnumerable());
        Assert.Equal(["child", "top", "job"], result.Cells.Select(cell => cell.Name));
        Assert.Empty(result.Cells[0].Shapes);
        Assert.Equal(new RectangleShape(0, DoseFactor.One, 0, 0, 20, 10), Assert.Single(result.Cells[1].Shapes));
    }

    /// <summary>The largest coordinate is 2^30 - 1 steps, here of 0.1 nm; one step more in either axis and to either side is refused.</summary>
    [Theory]
    [InlineData(1, 0)]
    [InlineData(-1, 0)]
    [InlineData(0, 1)]
    [InlineData(0, -1)]
    public void An_offset_beyond_the_largest_coordinate_is_refused(int x, int y)
    {
        LayoutDocument Moved(double steps) => SourceAssembly.Run(
            [(Drawing("a"), new JobSource("x.dxf") { Placement = new SourcePlacement { OffsetXNanometres = 0.1 * steps * x, OffsetYNanometres = 0.1 * steps * y } })]);
        Assert.Equal(new GridPoint(GridPoint.Limit * x, GridPoint.Limit * y), Moved(GridPoint.Limit).Cells[^1].Instances[0].Origin);
        Assert.Equal(
            "error PC0115: the offset of 'x.dxf' is beyond the largest coordinate, 107.4 mm; choose a coarser grid or a smaller offset",
            Assert.Throws<CompileException>(() => Moved(GridPoint.Limit + 1.0)).Message);
    }

    [Fact]
    public void Drawings_are_laid_over_each_other_each_in_its_place()
    {
        JobSource turned = new("y.dxf") { Placement = new SourcePlacement { OffsetXNanometres = 1.23, OffsetYNanometres = -0.5, RotationDegrees = 90 } };
        LayoutDocument result = SourceAssembly.Run([(Drawing("a"), new JobSource("x.dxf")), (Drawing("b", "a"), turned)]);
        Assert.Equal(["a", "b"], result.Layers.AsEnumerable());
        Assert.Equal(["child", "top", "child.2", "top.2", "job"], result.Cells.Select(cell => cell.Name));
        Assert.Equal("child.2", Assert.Single(result.Cells[3].Instances).CellName);
        Assert.Equal([1, 0], result.Cells[3].Shapes.Select(shape => shape.Layer));
        Assert.Equal("job", result.TopCell);
        Assert.Equal(
            [
                new Instance("top", default, Orientation.Identity, Repetition.Once, DoseFactor.One),
                new Instance("top.2", new GridPoint(12, -5), new Orientation(90, 1, 1), Repetition.Once, DoseFactor.One),
            ],
            result.Cells[4].Instances.AsEnumerable());
    }

    [Fact]
    public void Drawings_on_different_grids_meet_on_a_grid_that_moves_nothing()
    {
        LayoutDocument coarse = Drawing("a") with { GridPicometres = 150 };
        LayoutDocument result = SourceAssembly.Run([(Drawing("a"), new JobSource("x.dxf")), (coarse, new JobSource("y.dxf"))]);
        Assert.Equal(50, result.GridPicometres);
        Assert.Equal(new RectangleShape(0, DoseFactor.One, 0, 0, 20, 20), result.Cells[1].Shapes[0]);
        Assert.Equal(new RectangleShape(0, DoseFactor.One, 0, 0, 30, 30), result.Cells[3].Shapes[0]);
        Assert.Equal(new GridPoint(15, 15), result.Cells[3].Instances[0].Origin);
    }

    [Fact]
    public void An_unknown_layer_is_named_with_the_nearest() => Assert.Equal(
        "x.dxf: error PC0120: the job asks for layer 'fingrs', but there is none of this name; did you mean 'fingers'?",
        Assert.Throws<CompileException>(() => SourceAssembly.Run([(Drawing("pads", "fingers"), new JobSource("x.dxf") with { Reading = DrawingOptions.Default with { Layers = ["fingrs"] } })])).Message);

    [Fact]
    public void Settings_for_an_unknown_layer_are_an_error()
    {
        Job job = DefaultFiles.Job with
        {
            Sources = [new JobSource("x.dxf")],
            Layers = [new LayerSettings("metal", DoseFactor.One, FillSettings.Open)],
        };
        Assert.Equal(
            "x.dxf: error PC0120: the job asks for layer 'metal', but there is none of this name; there are 'pads', 'fingers'",
            Assert.Throws<CompileException>(() => SourceAssembly.RequireLayers(job, Drawing("pads", "fingers"))).Message);
    }

    [Fact]
    public void Moving_wraps_the_top_cell()
    {
        LayoutDocument moved = SourceAssembly.Moved(Drawing("a"), new GridPoint(3, 4));
        Assert.Equal("placed", moved.TopCell);
        Assert.Equal(new Instance("top", new GridPoint(3, 4), Orientation.Identity, Repetition.Once, DoseFactor.One), Assert.Single(moved.Cells[^1].Instances));
    }

    /// <summary>A kept layout stands in the field already: it is not moved again, and nothing else can be laid beside it.</summary>
    [Fact]
    public void A_placed_layout_stays_and_stands_alone()
    {
        MemoryFiles files = new MemoryFiles().With("a.layout", "layout 1\nunit um\nplaced\nlayer x\nrect on x from (3, 4) to (5, 6)\n").With("b.layout", "layout 1\nunit um\nlayer x\nrect on x from (3, 4) to (5, 6)\n");
        Job job = JobFile.Parse("job: j\nsources: [a.layout]\nposition: centred\noutputs: [{file: j.stream, format: stream}]\n", "job.yaml");
        string Corner(params string[] sources) => PatternBounds.MoveToCentre(
            PatternCompiler.Passes.Flatten.FlattenPass.Run(LayoutStage.Run(job with { Sources = [.. sources.Select(name => new JobSource(name))] }, files, new PatternCompiler.Places.MessagePlaces(), new DiagnosticSink(), CancellationToken.None), StageOptions.Flatten(job), new DiagnosticSink(), CancellationToken.None)).ToString();
        Assert.Equal(Corner("b.layout"), Corner("b.layout", "b.layout"));
        Assert.NotEqual(Corner("b.layout"), Corner("a.layout"));
        Assert.Equal(
            "a.layout: error PC0190: this layout is placed in the field already, and other drawings are not; build it alone, or name the drawing that it was made from",
            Assert.Throws<CompileException>(() => Corner("b.layout", "a.layout")).Message);
    }
}
