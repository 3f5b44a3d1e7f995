using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Dxf;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using static PatternCompiler.Tests.FrontEnds.Dxf.DxfTest;

namespace PatternCompiler.Tests.FrontEnds.Dxf;

public sealed class DxfBlockTests
{
    private static readonly string[] Pad = ["BLOCK 2 PAD 10 1 20 1", "LWPOLYLINE 8 0 70 1 10 1 20 1 10 4 20 1 10 4 20 2 10 1 20 2", "ENDBLK"];

    [Fact]
    public void An_array_stays_an_array_with_turned_steps()
    {
        LayoutDocument layout = Read(WithBlocks(Pad, "INSERT 8 gold 2 PAD 10 5 20 6 50 90 70 4 71 3 44 10 45 20"));
        Assert.Equal(["PAD@gold", "drawing"], layout.Cells.Select(c => c.Name));
        Instance instance = Assert.Single(layout.Cells[1].Instances);
        Assert.Equal(new(50_000, 60_000), instance.Origin);
        Assert.Equal(new Orientation(90, 1, 1), instance.Orientation);
        Assert.Equal(new Repetition(4, 3, new(0, 100_000), new(-200_000, 0)), instance.Repetition);
        Assert.Equal(["gold"], layout.Layers.ToArray());
    }

    [Fact]
    public void A_huge_array_stays_small() =>
        Assert.Equal(1_000_000, Assert.Single(Read(WithBlocks(Pad, "INSERT 8 a 2 PAD 10 0 20 0 70 1000000 71 1 44 0.0001 45 0")).Cells[1].Instances).Repetition.Columns);

    [Fact]
    public void A_step_between_grid_points_does_not_drift()
    {
        Cell top = Read(WithBlocks(Pad, "INSERT 8 a 2 PAD 10 0 20 0 70 1000 71 2 44 0.33333333333 45 5")).Cells[1];
        Assert.Equal(1000, top.Instances.Length);
        Assert.Equal(new(3_330_000, 0), top.Instances[999].Origin);
        Assert.Equal(new Repetition(1, 2, default, new(0, 50_000)), top.Instances[999].Repetition);
    }

    [Fact]
    public void One_block_placed_on_two_layers_makes_two_cells_only_for_what_inherits()
    {
        string[] blocks = [.. Pad, "BLOCK 2 FIX 10 0 20 0", "CIRCLE 8 marks 10 0 20 0 40 1", "ENDBLK"];
        LayoutDocument layout = Read(WithBlocks(blocks,
            "INSERT 8 a 2 PAD 10 0 20 0", "INSERT 8 b 2 pad 10 0 20 0", "INSERT 8 b 2 PAD 10 9 20 0", "INSERT 8 a 2 FIX 10 0 20 0", "INSERT 8 b 2 FIX 10 9 20 0"));
        Assert.Equal(["PAD@a", "PAD@b", "FIX", "drawing"], layout.Cells.Select(c => c.Name));
        Assert.Equal(["a", "b", "marks"], layout.Layers.ToArray());
        Assert.Equal(["PAD@a", "PAD@b", "PAD@b", "FIX", "FIX"], layout.Cells[3].Instances.Select(i => i.CellName));
    }

    [Fact]
    public void Chords_are_as_fine_as_the_largest_scale_needs()
    {
        string[] blocks = ["BLOCK 2 DISC 10 0 20 0", "LWPOLYLINE 8 a 70 1 10 -0.001 20 0 42 1 10 0.001 20 0 42 1", "ENDBLK"];
        LayoutDocument layout = Read(WithBlocks(blocks, "INSERT 8 a 2 DISC 10 0 20 0 41 10000 42 10000", "INSERT 8 a 2 DISC 10 50 20 0 41 -5000 42 5000"));
        List<PlanePoint>[] discs = [.. Polygons(layout).Select(p => p.Points)];
        // Radius 10 µm, chord error 1 nm: π·r² less at most 1 nm along the circumference.
        Assert.InRange(Math.Abs(SignedArea(discs[0])), (Math.PI * 100) - (2 * Math.PI * 10 * 0.0011), Math.PI * 100);
        Assert.InRange(Math.Abs(SignedArea(discs[1])), (Math.PI * 25) - (2 * Math.PI * 5 * 0.0011), Math.PI * 25);
        Assert.Equal(new Orientation(0, -0.5, 0.5), layout.Cells[^1].Instances[1].Orientation);
    }

    [Fact]
    public void A_block_drawn_in_another_unit_fits_once_it_is_scaled_down()
    {
        string[] blocks = ["BLOCK 2 BIG 10 1e9 20 0", "LWPOLYLINE 8 a 70 1 10 1e9 20 0 10 1.002e9 20 0 10 1e9 20 1e6", "ENDBLK"];
        LayoutDocument layout = Read(WithBlocks(blocks, "INSERT 8 a 2 BIG 10 7 20 0 41 1e-6 42 1e-6"));
        Assert.Equal(1, Area(layout, "a"), 6);
    }

    [Fact]
    public void A_frozen_layer_hides_a_block_and_a_layer_that_is_off_hides_what_is_on_it()
    {
        string tables = "0 SECTION 2 TABLES 0 LAYER 2 f 70 1 62 7 0 LAYER 2 o 70 0 62 -7 0 ENDSEC ".Replace(' ', '\n');
        string[] blocks = ["BLOCK 2 B 10 0 20 0", "CIRCLE 8 0 10 0 20 0 40 1", "CIRCLE 8 a 10 0 20 0 40 2", "ENDBLK"];
        string text = tables + WithBlocks(blocks, "INSERT 8 f 2 B 10 0 20 0", "INSERT 8 o 2 B 10 0 20 0");
        LayoutDocument layout = Read(text);
        Assert.Equal(20_000, Assert.IsType<CircleShape>(Assert.Single(layout.Cells[0].Shapes)).Radius);
        Assert.Equal(["B@o"], layout.Cells[^1].Instances.Select(i => i.CellName));
        Assert.Equal(2, Messages(text).Count(m => m.Contains("PC0315", StringComparison.Ordinal)));
    }

    // The expected polygons are those of an independent library's own expansion of the blocks (see the corpus README). Ours are
    // rounded to 0.1 nm once for each level of nesting.
    [Theory]
    [InlineData("ezdxf-blocks", 18)]
    [InlineData("ezdxf-random-blocks", 1942)]
    public void Nested_turned_mirrored_and_repeated_blocks_land_where_an_independent_library_puts_them(string name, int count)
    {
        const double Near = 0.0005;
        ILookup<string, double[]> actual = Polygons(ReadCorpus(name + ".dxf")).ToLookup(p => p.Layer, p => new[]
        {
            Math.Abs(SignedArea(p.Points)), p.Points.Min(q => q.X), p.Points.Min(q => q.Y), p.Points.Max(q => q.X), p.Points.Max(q => q.Y),
        });
        string[] lines = File.ReadAllLines(CorpusPath(name + ".expected.txt"));
        Assert.Equal(count, lines.Length);
        Assert.Equal(count, actual.Sum(layer => layer.Count()));
        foreach (string line in lines)
        {
            string[] parts = line.Split(' ');
            double[] expected = [.. parts.Skip(1).Select(p => double.Parse(p, CultureInfo.InvariantCulture))];
            double perimeter = 2 * (expected[3] - expected[1] + expected[4] - expected[2]);
            Assert.Contains(actual[parts[0]], found =>
                Math.Abs(found[0] - expected[0]) < perimeter * Near && !found.Skip(1).Where((v, i) => Math.Abs(v - expected[i + 1]) > Near).Any());
        }
    }

    [Fact]
    public void Blocks_not_placed_and_external_drawings_are_named()
    {
        string text = WithBlocks(
            [.. Pad, "BLOCK 2 SPARE 10 0 20 0", "CIRCLE 8 a 10 0 20 0 40 1", "TEXT 8 a 1 x", "ENDBLK",
                "BLOCK 2 SITE 70 4 10 0 20 0 1 site.dxf", "ENDBLK", "BLOCK 2 *D1 10 0 20 0", "CIRCLE 8 a 10 0 20 0 40 1", "ENDBLK"],
            "INSERT 8 a 2 PAD 10 0 20 0", "INSERT 8 a 2 SITE 10 0 20 0");
        Assert.Equal(
            [
                "a.dxf: note PC0325: 1 block is defined but nowhere placed: SPARE",
                "a.dxf:124: warning PC0385: not exposed: 1 INSERT on layer a (external drawing SITE, not part of this file); fix it in the drawing, or choose layers without it",
                "a.dxf: note PC0323: read with 1 drawing unit = 1 um: the drawing is 3 × 1 um",
            ],
            Messages(text));
    }

    [Fact]
    public void A_million_times_a_million_placements_on_one_place_are_one()
    {
        var sink = new DiagnosticSink();
        FlattenPass.Run(Read(WithBlocks(Pad, "INSERT 8 a 2 PAD 10 0 20 0 70 1000000 71 1000000 44 0 45 0")), FlattenOptions.Default, sink);
        Assert.Contains("999999999999 copies of cells lie exactly on another one", Assert.Single(sink.Collected).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_million_times_a_million_placements_are_read_at_once_and_refused_when_resolved()
    {
        LayoutDocument layout = Read(WithBlocks(Pad, "INSERT 8 a 2 PAD 10 0 20 0 70 1000000 71 1000000 44 0.0001 45 0.0001"));
        CompileException error = Assert.Throws<CompileException>(() => FlattenPass.Run(layout, FlattenOptions.Default, new()));
        Assert.Equal(DiagnosticKind.Input, error.Diagnostic.Code.Kind);
    }

    [Fact]
    public void Blocks_that_double_sixty_times_are_refused_when_resolved()
    {
        var blocks = new List<string> { "BLOCK 2 B0 10 0 20 0", "CIRCLE 8 a 10 0 20 0 40 1", "ENDBLK" };
        for (int i = 1; i < 60; i++)
        {
            blocks.AddRange([$"BLOCK 2 B{i} 10 0 20 0", $"INSERT 8 a 2 B{i - 1} 10 0 20 0", $"INSERT 8 a 2 B{i - 1} 10 1 20 0", "ENDBLK"]);
        }

        LayoutDocument layout = Read(WithBlocks([.. blocks], "INSERT 8 a 2 B59 10 0 20 0"));
        Assert.Throws<CompileException>(() => FlattenPass.Run(layout, FlattenOptions.Default, new()));
    }

    [Fact]
    public void A_block_without_its_end_is_an_error() => Assert.Equal(
        "a.dxf:32: error PC0302: ENDSEC comes before ENDBLK; a part is missing: export the drawing again",
        Error(WithBlocks(["BLOCK 2 A 10 0 20 0", "POINT 8 a 10 0 20 0"], "POINT 8 a 10 0 20 0")));

    [Fact]
    public void A_block_that_contains_itself_is_an_error() => Assert.Equal(
        "a.dxf:24 (INSERT on layer 0): error PC0308: block B contains itself; delete this insert",
        Error(WithBlocks(
            ["BLOCK 2 A 10 0 20 0", "INSERT 8 0 2 B 10 0 20 0", "ENDBLK", "BLOCK 2 B 10 0 20 0", "INSERT 8 0 2 A 10 0 20 0", "ENDBLK"],
            "INSERT 8 0 2 B 10 0 20 0")));

    [Fact]
    public void An_unknown_block_is_an_error() => Assert.Equal(
        "a.dxf:16 (INSERT 1F on layer x): error PC0307: places block NOPE, which the file does not define; bind external drawings before exporting",
        Error(Drawing("INSERT 5 1F 8 x 2 NOPE 10 0 20 0")));

    [Fact]
    public void Ten_thousand_levels_of_nesting_are_refused_quickly()
    {
        var blocks = new List<string> { "BLOCK 2 B0 10 0 20 0", "CIRCLE 8 a 10 0 20 0 40 1", "ENDBLK" };
        for (int i = 1; i < 10_000; i++)
        {
            blocks.AddRange([$"BLOCK 2 B{i} 10 0 20 0", $"INSERT 8 a 2 B{i - 1} 10 0 20 0", "ENDBLK"]);
        }

        Assert.Contains("error PC0309: blocks are nested more than 256 deep; explode some of them",
            Error(WithBlocks([.. blocks], "INSERT 8 a 2 B9999 10 0 20 0")), StringComparison.Ordinal);
    }
}
