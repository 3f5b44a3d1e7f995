using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Tests.FrontEnds.Dxf;
using PatternCompiler.Tests.FrontEnds.Gdsii;
using PatternCompiler.Tests.FrontEnds.Image;
using PatternCompiler.Tests.FrontEnds.Oasis;
using PatternCompiler.Tests.Jobs;

namespace PatternCompiler.Tests.Places;

/// <summary>
/// A figure that filling complains of is traced to where it was drawn, in the terms of every format. In every drawing one shape
/// of 2 nm needs less than half of the shortest dwell. Positions are worked out by hand from the placements.
/// </summary>
public sealed class DrawnPlaceTests
{
    [Fact]
    public void A_statement_of_a_text_layout() => Assert.Equal(
        "a.layout:5 (rect on layer tiny, figure 1 at (9.001, 7.001) um)",
        PlaceOf("a.layout", "layout 1\nunit um\nlayer a\nlayer tiny\nrect on tiny at (9, 7) size (0.002, 0.002)\nrect on a at (0, 0) size (4, 2)\n"));

    [Fact]
    public void A_statement_of_an_included_file() => Assert.Equal(
        "marks.layout:6 (rect on layer tiny, figure 1 at (9.001, 7.001) um)",
        PlaceOf(
            "a.layout",
            "layout 1\nunit um\nlayer a\ninclude \"marks.layout\"\nrect on a at (0, 0) size (4, 2)\n",
            new MemoryFiles().With("marks.layout", "layout 1\nunit um\nlayer tiny\n\n\nrect on tiny at (9, 7) size (0.002, 0.002)\n")));

    /// <summary>Scaled by 2, mirrored about x, turned by 90 degrees: (x, y) of the pad lies at (2 y, 2 x) from its place in the block.</summary>
    [Fact]
    public void Cells_within_cells_are_called_from_the_inside_out() => Assert.Equal(
        "a.layout:6 (rect on layer tiny, placed by array in line 9 (row 3), placed by place in line 12, figure 2 at (21.001, 44.001) um)",
        PlaceOf(
            "a.layout",
            """
            layout 1
            unit um
            layer a
            layer tiny
            cell pad
              rect on tiny at (2, 0.5) size (0.001, 0.001)
            end
            cell block
              array pad at (0, 0) scale 2 mirror up-down rotate 90 rows 3 row-step 5
            end
            rect on a at (0, 0) size (4, 2)
            place block at (20, 30)
            rect on a at (19, 28) size (3, 15)
            """,
            job: "operations: [{layer: tiny, from: tiny without a}], write: [a, tiny]"));

    [Fact]
    public void A_handle_of_a_DXF_drawing()
    {
        string drawing = DxfTest.Drawing("LWPOLYLINE 5 2E 8 a 70 1 10 0 20 0 10 4 20 0 10 4 20 2 10 0 20 2", "LWPOLYLINE 5 2F 8 tiny 70 1 10 9 20 7 10 9.002 20 7 10 9.002 20 7.002 10 9 20 7.002");
        Assert.Equal($"a.dxf:{LineOf(drawing, "2F") - 2} (LWPOLYLINE 2F on layer tiny, figure 1 at (9.001, 7.001) um)", PlaceOf("a.dxf", drawing));
    }

    /// <summary>Of two loose lines that are joined and a circle, all closed outlines of a layer being one area with holes.</summary>
    [Fact]
    public void The_outlines_around_a_point_where_outlines_are_holes()
    {
        string drawing = DxfTest.Drawing("CIRCLE 5 A1 8 a 10 0 20 0 40 5", "CIRCLE 5 A2 8 a 10 0 20 0 40 4", "CIRCLE 5 A3 8 a 10 0 20 0 40 0.001");
        Diagnostic told = Told("a.dxf", new MemoryFiles().With("a.dxf", drawing), source => source with { Reading = source.Reading with { NestedOutlines = NestedOutlines.Holes } });
        Assert.Equal($"a.dxf:{LineOf(drawing, "A1") - 2} (CIRCLE A1 on layer a", told.Place.ToString().Split(',')[0]);
        Assert.Equal(["CIRCLE A2 on layer a", "CIRCLE A3 on layer a"], told.Place.Item!.Also.Select(also => also.Entity));
    }

    /// <summary>The array is turned by 90 degrees, so that its columns run upward; its steps of 10.0001 um are not on the grid of 0.1 nm.</summary>
    [Theory]
    [InlineData("10")]
    [InlineData("10.00003")]
    public void An_element_of_an_inserted_array_of_a_DXF_drawing(string step)
    {
        string[] block =
        [
            "BLOCK 2 PAD 10 0 20 0", "LWPOLYLINE 5 20 8 0 70 1 10 0 20 0 10 4 20 0 10 4 20 2 10 0 20 2",
            "LWPOLYLINE 5 21 8 tiny 70 1 10 5 20 1 10 5.002 20 1 10 5.002 20 1.002 10 5 20 1.002", "ENDBLK",
        ];
        string drawing = DxfTest.WithBlocks(block, $"INSERT 5 31 8 a 2 PAD 10 5 20 6 50 90 70 2 71 3 44 {step} 45 20");
        int insert = LineOf(drawing, "31") - 2;
        string place = PlaceOf("a.dxf", drawing);
        Assert.StartsWith($"a.dxf:{LineOf(drawing, "21") - 2} (LWPOLYLINE 21 on layer tiny, placed by INSERT 31 on layer a in line {insert} (column 1, row ", place, StringComparison.Ordinal);

        // Row j lies 20 um to the left of the one before; the block turned: (5.001, 1.001) becomes (-1.001, 5.001).
        int row = place[place.IndexOf("row ", StringComparison.Ordinal) + 4] - '0';
        Assert.EndsWith($" at ({3.999m - 20 * (row - 1)}, 11.001) um)", place, StringComparison.Ordinal);
    }

    [Fact]
    public void An_id_of_an_SVG_drawing() => Assert.Equal(
        "a.svg:3 (rect \"via\" on layer tiny, figure 1 at (9.001, 2.999) um)",
        PlaceOf(
            "a.svg",
            """
            <svg xmlns="http://www.w3.org/2000/svg" width="0.02mm" height="0.01mm" viewBox="0 0 20 10">
            <g id="a"><rect width="4" height="2"/></g>
            <g id="tiny"><rect id="via" x="9" y="7" width="0.002" height="0.002"/></g></svg>
            """));

    [Fact]
    public void A_line_and_column_of_an_SVG_element_without_id() => Assert.Equal(
        "a.svg:3:16 (rect on layer tiny, figure 1 at (9.001, 2.999) um)",
        PlaceOf(
            "a.svg",
            """
            <svg xmlns="http://www.w3.org/2000/svg" width="0.02mm" height="0.01mm" viewBox="0 0 20 10">
            <g id="a"><rect width="4" height="2"/></g>
            <g id="tiny"> <rect x="9" y="7" width="0.002" height="0.002"/></g></svg>
            """));

    /// <summary>Mirrored about x, then turned by 90 degrees: (x, y) of the cell lies at (y, x) from its place.</summary>
    [Fact]
    public void An_element_of_a_cell_of_a_GDSII_stream()
    {
        byte[] stream = GdsiiBytes.Library()
            .Cell("PAD").Boundary(1, 0, 0, 0, 4000, 0, 4000, 2000, 0, 2000).Boundary(2, 0, 5000, 1000, 5002, 1000, 5002, 1002, 5000, 1002).EndCell()
            .Cell("TOP").Boundary(1, 0, -9000, 0, -8000, 0, -8000, 1000, -9000, 1000)
            .Record(0x0B00).Text(0x1206, "PAD").Record(0x1A01, "8000").Record(0x1C05, "425A000000000000").Shorts(0x1302, 2, 3).Integers(0x1003, 0, 0, 40000, 0, 0, 30000).Record(0x1100)
            .EndCell().End();
        string place = PlaceOf("a.gds", stream);
        Assert.StartsWith("a.gds (BOUNDARY in cell PAD on layer 2/0, element 2, placed by AREF in cell TOP, element 2 (column ", place, StringComparison.Ordinal);
        int column = place[place.IndexOf("column ", StringComparison.Ordinal) + 7] - '0';
        int row = place[place.IndexOf("row ", StringComparison.Ordinal) + 4] - '0';
        Assert.EndsWith($" at ({1.001m + 20 * (column - 1)}, {5.001m + 10 * (row - 1)}) um)", place, StringComparison.Ordinal);
    }

    [Fact]
    public void A_record_of_an_OASIS_file() => Assert.Matches(
        "^a\\.oas \\(RECTANGLE in cell TOP on layer 2/0, byte [0-9]+, figure 1 at \\(9\\.001, 7\\.001\\) um\\)$",
        PlaceOf("a.oas", OasisFile.Start().Cell("TOP").B(20, 0x7B).U(1, 0, 4000, 2000).I(0, 0).B(20, 0x7B).U(2, 0, 2, 2).I(9000, 7000).End()));

    [Fact]
    public void A_picture_as_a_whole() => Assert.StartsWith(
        "a.png (picture, figure ",
        PlaceOf("a.png", PngFile.Grey([[0, 255, 255], [255, 255, 0]]), source => source with { Reading = source.Reading with { UnitNanometres = 2 } }),
        StringComparison.Ordinal);

    private static string PlaceOf(string name, string drawing, MemoryFiles? files = null, string? job = null) =>
        Told(name, (files ?? new MemoryFiles()).With(name, drawing), null, job).Place.ToString();

    private static string PlaceOf(string name, byte[] drawing, Func<JobSource, JobSource>? source = null) =>
        Told(name, new MemoryFiles().With(name, drawing), source).Place.ToString();

    private static Diagnostic Told(string name, MemoryFiles files, Func<JobSource, JobSource>? change, string? text = null)
    {
        Job job = text is null ? DefaultFiles.Job : JobFile.Parse($"{{job: a, {text}}}", null);
        var source = new JobSource(name);
        var settings = new BuildSettings(
            job with { Sources = [change is null ? source : change(source)], Outputs = [new JobOutput("a.stream", OutputFormat.Stream)] }, DefaultFiles.Machine, DefaultFiles.Process);
        var sink = new DiagnosticSink();
        BuildRunner.Run(settings, files, sink, CancellationToken.None);
        return Assert.Single(sink.Collected, message => message.Code.Id == "PC1285");
    }

    private static int LineOf(string text, string line) => 1 + Array.IndexOf(text.Split('\n'), line);
}
