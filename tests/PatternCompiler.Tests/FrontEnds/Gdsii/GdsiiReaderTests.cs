using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Gdsii;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;
using static PatternCompiler.Tests.FrontEnds.Gdsii.GdsiiBytes;

namespace PatternCompiler.Tests.FrontEnds.Gdsii;

public sealed class GdsiiReaderTests
{
    [Fact]
    public void A_boundary_is_a_polygon_on_the_grid()
    {
        LayoutDocument layout = Read(Library().Cell("TOP").Boundary(5, 2, 0, 0, 100, 0, 100, 50, 7, 50).EndCell().End());
        Assert.Equal(["5/2"], layout.Layers.ToArray());
        Assert.Equal("TOP", layout.TopCell);
        var polygon = Assert.IsType<PolygonShape>(Assert.Single(Assert.Single(layout.Cells).Shapes));
        Assert.Equal([new(0, 0), new(1000, 0), new(1000, 500), new(70, 500)], polygon.Contours[0].ToArray());
    }

    [Theory]
    [InlineData(0, 0, 100, 0, 100, 50, 0, 50)]
    [InlineData(100, 50, 100, 0, 0, 0, 0, 50)]
    public void An_upright_rectangle_is_a_rectangle(params int[] xy) => Assert.Equal(
        new RectangleShape(0, DoseFactor.One, 0, 0, 1000, 500),
        Read(Library().Cell("TOP").Boundary(5, 2, xy).EndCell().End()).Cells[0].Shapes[0]);

    [Fact]
    public void Paths_with_every_end()
    {
        LayoutDocument layout = Read(Library().Cell("TOP")
            .Record(0x0900).Shorts(0x0D02, 1).Shorts(0x0E02, 0).Integers(0x0F03, 20).Integers(0x1003, 0, 0, 100, 0, 100, 60).Record(0x1100)
            .Record(0x0900).Shorts(0x0D02, 1).Shorts(0x0E02, 0).Shorts(0x2102, 1).Integers(0x0F03, 20).Integers(0x1003, 0, 0, 100, 0).Record(0x1100)
            .Record(0x0900).Shorts(0x0D02, 1).Shorts(0x0E02, 0).Shorts(0x2102, 2).Integers(0x0F03, 20).Integers(0x1003, 0, 0, 100, 0).Record(0x1100)
            .Record(0x0900).Shorts(0x0D02, 1).Shorts(0x0E02, 0).Shorts(0x2102, 4).Integers(0x0F03, 20).Integers(0x3003, 5).Integers(0x3103, -7).Integers(0x1003, 0, 0, 100, 0).Record(0x1100)
            .Record(0x0900).Shorts(0x0D02, 1).Shorts(0x0E02, 0).Integers(0x1003, 0, 0, 100, 0).Record(0x1100)
            .EndCell().End());
        PathShape[] paths = [.. layout.Cells[0].Shapes.OfType<PathShape>()];
        Assert.Equal([PathEnd.Flat, PathEnd.Round, PathEnd.Square, PathEnd.Flat], paths.Select(p => p.End));
        Assert.All(paths, p => Assert.Equal(200, p.Width));
        Assert.Equal([new(-50, 0), new(930, 0)], paths[3].Points.ToArray());
        Assert.Equal(2, Assert.Single(layout.Cells[0].Shapes.OfType<LineShape>()).Points.Length);
    }

    [Fact]
    public void A_path_shortened_to_nothing_is_counted_and_one_past_its_end_moves_on()
    {
        var sink = new DiagnosticSink();
        LayoutDocument layout = Read(Library().Cell("TOP")
            .Record(0x0900).Shorts(0x0D02, 1).Shorts(0x0E02, 0).Shorts(0x2102, 4).Integers(0x0F03, 20).Integers(0x3003, -60).Integers(0x3103, -40).Integers(0x1003, 0, 0, 100, 0).Record(0x1100)
            .Record(0x0900).Shorts(0x0D02, 1).Shorts(0x0E02, 0).Shorts(0x2102, 4).Integers(0x0F03, 20).Integers(0x3003, -100).Integers(0x3103, 50).Integers(0x1003, 0, 0, 100, 0).Record(0x1100)
            .EndCell().End(), null, sink);
        Assert.Equal([new(1000, 0), new(1500, 0)], ((PathShape)Assert.Single(layout.Cells[0].Shapes)).Points.ToArray());
        Assert.Contains("warning PC0585: not exposed: 1 Path element on layer 1/0 (no length); correct or delete them in the drawing program", sink.Collected[0].ToString(), StringComparison.Ordinal);
    }

    // Placement by the format: reflect about the x axis, magnify, turn, move. Worked by hand: reflected, turned by 90° and
    // magnified by 2 at (10, 20), the point (1, 2) lands at (14, 22).
    [Fact]
    public void A_reference_is_reflected_before_it_is_turned()
    {
        LayoutDocument layout = Read(Library()
            .Cell("TOP").Record(0x0A00).Text(0x1206, "A").Record(0x1A01, "8000").Record(0x1B05, "4120000000000000").Record(0x1C05, "425A000000000000").Integers(0x1003, 10, 20).Record(0x1100).EndCell()
            .Cell("A").Boundary(1, 0, 0, 0, 1, 2, 3, 9).EndCell().End());
        Assert.Equal(["A", "TOP"], layout.Cells.Select(c => c.Name));
        Instance instance = Assert.Single(layout.Cells[1].Instances);
        Assert.Equal(new Orientation(90, 2, -2), instance.Orientation);
        Assert.Equal(new(100, 200), instance.Origin);
        // The layout's own rule (scale, turn, move) on (1, 2), by hand: (2, −4) turned is (4, 2), moved (14, 22).
        (double x, double y) = (1 * instance.Orientation.ScaleX, 2 * instance.Orientation.ScaleY);
        Assert.Equal((14.0, 22.0), (10 - y, 20 + x));
    }

    // Spacing divides by the count: three columns over 30 and two rows over 20 are 10 apart each.
    [Fact]
    public void An_array_stays_an_array()
    {
        LayoutDocument layout = Read(Library()
            .Cell("A").Boundary(1, 0, 0, 0, 1, 2, 3, 9).EndCell()
            .Cell("TOP").Record(0x0B00).Text(0x1206, "A").Shorts(0x1302, 3, 2).Integers(0x1003, 0, 0, 30, 0, 0, 20).Record(0x1100).EndCell().End());
        Assert.Equal(new Repetition(3, 2, new(100, 0), new(0, 100)), Assert.Single(layout.Cells[1].Instances).Repetition);
    }

    [Fact]
    public void What_lies_in_cells_that_are_nowhere_placed_is_not_counted()
    {
        var sink = new DiagnosticSink();
        GdsiiBytes Broken(GdsiiBytes cell) => cell.Boundary(1, 0, 0, 0, 100, 0).Record(0x0C00).Shorts(0x0D02, 10).Shorts(0x1602, 3).Integers(0x1003, 0, 0).Text(0x1906, "pad").Record(0x1100);
        Read(Broken(Broken(Library().Cell("OTHER")).EndCell().Cell("TOP").Boundary(1, 0, 0, 0, 100, 0, 100, 50)).EndCell().End(), new DrawingOptions { TopCell = "TOP" }, sink);
        Assert.Equal(
            [
                "a.gds: warning PC0585: not exposed: 1 Boundary element on layer 1/0 (fewer than three corners); correct or delete them in the drawing program",
                "a.gds: note PC0511: ignored 1 label on layer 10/3",
            ],
            sink.Collected.Take(2).Select(d => d.ToString()));
    }

    [Fact]
    public void Labels_and_nodes_are_counted()
    {
        var sink = new DiagnosticSink();
        Read(Library().Cell("TOP").Boundary(1, 0, 0, 0, 100, 0, 100, 50)
            .Record(0x0C00).Shorts(0x0D02, 10).Shorts(0x1602, 3).Integers(0x1003, 0, 0).Text(0x1906, "pad").Record(0x1100)
            .Record(0x0C00).Shorts(0x0D02, 10).Shorts(0x1602, 3).Integers(0x1003, 0, 0).Text(0x1906, "gnd").Record(0x1100)
            .Record(0x1500).Shorts(0x0D02, 11).Shorts(0x2A02, 0).Integers(0x1003, 0, 0).Record(0x1100).EndCell().End(), null, sink);
        Assert.Equal(
            [
                "a.gds: note PC0511: ignored 2 labels on layer 10/3",
                "a.gds: note PC0511: ignored 1 net node on layer 11/0",
                "a.gds: note PC0513: read cell TOP with a database unit of 1 nm: the drawing is 0.1 × 0.05 um",
            ],
            sink.Collected.Select(d => d.ToString()));
    }

    [Theory]
    [InlineData("3E4189374BC6A7EF 3944B82FA09B5A52")]
    [InlineData("3E4189374BC6A7F0 3944B82FA09B5A53")]
    public void Units_of_any_writer_snap_to_whole_picometres(string units)
    {
        var sink = new DiagnosticSink();
        LayoutDocument layout = Read(Library(units).Cell("T").Boundary(1, 0, 0, 0, 1001, 0, 1001, 2003, 0, 2003).EndCell().End(), null, sink);
        Assert.Equal(20_030, ((RectangleShape)layout.Cells[0].Shapes[0]).YTop);
        Assert.DoesNotContain(sink.Collected, d => d.Severity == Severity.Warning);
    }

    [Fact]
    public void A_database_unit_off_the_grid_is_rounded_with_a_warning()
    {
        var sink = new DiagnosticSink();
        // 0.25 nm, as 2.5e-10 m.
        byte[] real = new byte[8];
        GdsiiReal.Write(real, 2.5e-10);
        LayoutDocument layout = Read(Library("3E4189374BC6A7F0" + Convert.ToHexString(real)).Cell("T").Boundary(1, 0, 0, 0, 3, 0, 3, 4, 0, 4).EndCell().End(), null, sink);
        Assert.Equal((8, 10), (((RectangleShape)layout.Cells[0].Shapes[0]).XRight, ((RectangleShape)layout.Cells[0].Shapes[0]).YTop));
        Assert.Equal("a.gds: warning PC0512: the database unit of 0.25 nm is not a whole number of grid steps of 0.1 nm; coordinates are rounded; choose a grid that divides the database unit",
            sink.Collected[0].ToString());
        Assert.Equal(3, ((RectangleShape)Read(Library("3E4189374BC6A7F0" + Convert.ToHexString(real)).Cell("T").Boundary(1, 0, 0, 0, 3, 0, 3, 4, 0, 4).EndCell().End(), new() { GridPicometres = 250 }).Cells[0].Shapes[0]).XRight);
    }

    [Fact]
    public void Layers_are_selected_by_number_or_by_number_and_data_type()
    {
        byte[] stream = Library().Cell("T").Boundary(1, 0, 0, 0, 3, 0, 3, 4).Boundary(1, 5, 0, 0, 3, 0, 3, 4).Boundary(12, 0, 0, 0, 3, 0, 3, 4).EndCell().End();
        Assert.Equal(["1/0", "1/5"], Read(stream, new() { Layers = ["1"] }).Layers.ToArray());
        Assert.Equal(["1/5"], Read(stream, new() { Layers = ["1/5"] }).Layers.ToArray());
        Assert.Equal("a.gds: error PC0514: nothing is drawn on layer 2; there is something on: 1/0, 1/5, 12/0", Error(stream, new() { Layers = ["2", "1"] }));
    }

    [Fact]
    public void The_top_cell_is_the_only_one_not_placed_or_the_one_named()
    {
        byte[] stream = Library().Cell("A").Boundary(1, 0, 0, 0, 3, 0, 3, 4).EndCell().Cell("B").Boundary(1, 0, 0, 0, 3, 0, 3, 4).EndCell().End();
        Assert.Equal("a.gds: error PC0509: 2 cells are placed by no other one; name the one to expose: A, B", Error(stream));
        Assert.Equal("B", Read(stream, new() { TopCell = "B" }).TopCell);
        Assert.Equal("a.gds: error PC0506: the stream has no cell C; it has: A, B", Error(stream, new() { TopCell = "C" }));
    }

    [Fact]
    public void Padding_after_the_library_is_allowed() =>
        Assert.Single(Read([.. Library().Cell("T").Boundary(1, 0, 0, 0, 3, 0, 3, 4).EndCell().End(), .. new byte[2048]]).Cells);

    [Fact]
    public void The_drawing_reader_knows_it_by_its_first_bytes() => Assert.Equal("T", DrawingReader.Read(
        new MemoryStream(Library().Cell("T").Boundary(1, 0, 0, 0, 3, 0, 3, 4).EndCell().End()), "x", DrawingOptions.Default, new()).TopCell);

    [Fact]
    public void Faulty_streams_give_one_error()
    {
        Assert.Equal("a.gds: error PC0501: the file does not begin with a HEADER record; this is not a GDSII stream", Error([]));
        Assert.Equal("a.gds: error PC0501: the file does not begin with a HEADER record; this is not a GDSII stream", Error("hello world, this is no stream"u8.ToArray()));
        byte[] cyclic = Library().Cell("A").Record(0x0A00).Text(0x1206, "B").Integers(0x1003, 0, 0).Record(0x1100).EndCell()
            .Cell("B").Record(0x0A00).Text(0x1206, "A").Integers(0x1003, 0, 0).Record(0x1100).EndCell()
            .Cell("T").Record(0x0A00).Text(0x1206, "A").Integers(0x1003, 0, 0).Record(0x1100).EndCell().End();
        Assert.Equal("a.gds (byte 160): error PC0507: cell A contains itself; delete this reference", Error(cyclic));
        Assert.Equal(
            "a.gds (byte 96): error PC0506: cell T places cell X, which the stream does not define; export the library it lives in together with it",
            Error(Library().Cell("T").Record(0x0A00).Text(0x1206, "X").Integers(0x1003, 0, 0).Record(0x1100).EndCell().End()));
        Assert.Equal(
            "a.gds (Boundary in cell T, byte 96): error PC0505: reaches beyond ±1073741823 grid steps; choose a coarser grid, or move the drawing to the origin",
            Error(Library().Cell("T").Boundary(1, 0, 0, 0, 2_000_000_000, 0, 3, 4).EndCell().End()));
        Assert.Equal(
            "a.gds (byte 100): error PC0503: coordinates of 12 bytes; each point takes 8; the stream is damaged: export it again",
            Error(Library().Cell("T").Record(0x0800).Integers(0x1003, 1, 2, 3).Record(0x1100).EndCell().End()));
        Assert.Equal(
            "a.gds (byte 96): error PC0503: a record of type 127, which the format does not have; the stream is damaged: export it again",
            Error(Library().Cell("T").Record(0x7F00).EndCell().End()));
        Assert.Equal(
            "a.gds (ArrayReference in cell T, byte 96): error PC0504: an array of 0 columns and 2 rows; correct it in the drawing program and export again",
            Error(Library().Cell("T").Record(0x0B00).Text(0x1206, "X").Shorts(0x1302, 0, 2).Integers(0x1003, 0, 0, 1, 0, 0, 1).Record(0x1100).EndCell().End()));
        Assert.Equal(
            "a.gds: error PC0515: cell T has nothing that can be exposed; choose another cell or other layers",
            Error(Library().Cell("T").EndCell().End()));
    }

    [Fact]
    public void A_stream_cut_anywhere_gives_one_error()
    {
        byte[] whole = Sample();
        for (int length = 0; length < whole.Length; length++)
        {
            Assert.Throws<CompileException>(() => Read(whole[..length]));
        }

        Assert.NotNull(Read(whole));
    }

    [Fact]
    public void A_stream_with_any_byte_changed_gives_one_error_or_a_drawing()
    {
        byte[] whole = Sample();
        for (int i = 0; i < whole.Length; i++)
        {
            foreach (byte change in (byte[])[0x00, 0x01, 0x7f, 0x80, 0xff])
            {
                byte[] changed = (byte[])whole.Clone();
                changed[i] = change;
                try
                {
                    Read(changed);
                }
                catch (CompileException)
                {
                    // One clear error is what the user shall get; anything else fails the test.
                }
            }
        }
    }

    private static byte[] Sample() => Library()
        .Cell("A").Boundary(1, 0, 0, 0, 1, 2, 3, 9).EndCell()
        .Cell("TOP").Record(0x0B00).Text(0x1206, "A").Record(0x1A01, "8000").Record(0x1B05, "4120000000000000").Record(0x1C05, "422D000000000000").Shorts(0x1302, 3, 2).Integers(0x1003, 0, 0, 30, 0, 0, 20).Record(0x1100)
        .Record(0x0900).Shorts(0x0D02, 1).Shorts(0x0E02, 0).Shorts(0x2102, 1).Integers(0x0F03, 20).Integers(0x1003, 0, 0, 100, 0).Record(0x1100).EndCell().End();
}
