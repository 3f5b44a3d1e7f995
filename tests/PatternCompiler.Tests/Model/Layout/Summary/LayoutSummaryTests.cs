using System.Text;
using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model.Layout.Summary;
using PatternCompiler.Tests.FrontEnds.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Model.Layout.Summary;

public sealed class LayoutSummaryTests
{
    private const string Head = "layout 1\nunit um\ngrid 1 nm\nlayer a\nlayer b\nlayer empty\n";

    private static IReadOnlyList<Diagnostic> LeftOutMessages()
    {
        var sink = new DiagnosticSink();
        sink.Note(DxfCodes.Ignored, "ignored 5 TEXT on layer a", count: 5);
        sink.Note(SvgCodes.Ignored, "ignored 7 text on layer a", count: 7);
        sink.Note(DxfCodes.OpenAsLines, "layer a has 3 open outlines", count: 3);
        return sink.Collected;
    }

    private static double? Narrowest(string polygon) =>
        LayoutSummary.Of(LayoutText.Read($"{Head}polygon on a {polygon}\n")).Layers[0].SmallestFeatureNanometres;

    [Fact]
    public void Copies_are_counted_without_being_made()
    {
        LayoutDocument layout = LayoutText.Read(Head +
            """
            cell dot
              dot on b at (0, 0)
              rect on a from (0, 0) to (1, 2)
            end
            cell row
              array dot at (0, 0) columns 1000000 column-step 0.01 column-dose 0.000001
              circle on a at (5, 5) radius 0.2 dose 0.5
            end
            array row at (0, 0) rows 2000000 row-step (0, 0.005)
            place dot at (-10, -20) scale 0.25 rotate 90
            path on b width 0.3 (0, 0) (1, 1) (2, 0)
            line on b (0, 0) (1, 1)
            """);
        Assert.Equal(
            """
            drawing drawing: 10011.49 x 10025.195 um, grid 1 nm, 3 cells, 3 layers

            layer          rects  polygons  circles  rings  paths  lines           dots        corners   dose  x from        to  y from         to  narrowest
            a      2000000000001         0  2000000      0      0      0              0  8000000000004  0.5-2   -10.5  10000.99     -20  10005.195       0.25
            b                  0         0        0      0      1      1  2000000000001              5    1-2     -10   9999.99     -20   9999.995        0.3
            empty              0         0        0      0      0      0              0              0      1       -         -       -          -          -

            """,
            LayoutSummaryText.Print(LayoutSummary.Of(layout), []));
    }

    [Fact]
    public void Cells_of_many_shapes_are_counted_in_parts()
    {
        Shape[] shapes = [.. Enumerable.Range(0, 200_000).Select(Shape (i) => i % 2 == 0
            ? new RectangleShape(0, DoseFactor.FromValue(1 + (i % 7)), i, 0, i + 5 + (i % 100), 50)
            : new DotShape(1, DoseFactor.One, new(-i, i)))];
        LayoutSummary summary = LayoutSummary.Of(new(1000, ["a", "b"], [new Cell("TOP", [.. shapes], [])], "TOP"));
        Assert.Equal((100_000, 400_000, 5, 7), (summary.Layers[0].Rectangles, summary.Layers[0].Corners, summary.Layers[0].SmallestFeatureNanometres, summary.Layers[0].HighestDose));
        Assert.Equal(new LayoutExtent(0, 0, 199_998 + 5 + 98, 50), summary.Layers[0].Extent);
        Assert.Equal((100_000, new LayoutExtent(-199_999, 1, -1, 199_999)), (summary.Layers[1].Dots, summary.Layers[1].Extent!.Value));
    }

    // The outline itself: flat ends add nothing along the way, square and round ones half the width, a mitre its tip.
    [Theory]
    [InlineData("(0, 0) (10, 0)", "drawing drawing: 10 x 2 um")]
    [InlineData("ends square (0, 0) (10, 0)", "drawing drawing: 12 x 2 um")]
    [InlineData("ends round (0, 0) (10, 0)", "drawing drawing: 12 x 2 um")]
    [InlineData("(0, 0) (10, 0) (10, 10)", "drawing drawing: 11 x 11 um")]
    public void A_path_is_as_large_as_its_outline(string path, string size) =>
        Assert.StartsWith(size + ",", LayoutSummaryText.Print(LayoutSummary.Of(LayoutText.Read($"{Head}path on a width 2 {path}\n")), []), StringComparison.Ordinal);

    [Fact]
    public void Sizes_that_are_upper_bounds_say_so()
    {
        LayoutSummary summary = LayoutSummary.Of(LayoutText.Read($"{Head}cell c\n rect on a from (0, 0) to (10, 10)\nend\nplace c at (0, 0) rotate 45\n"));
        Assert.True(summary.IsExtentUpperBound);
        string text = LayoutSummaryText.Print(summary, []);
        Assert.Contains("\nopen outlines: 3, ignored objects: 12\n", LayoutSummaryText.Print(summary, LeftOutMessages()), StringComparison.Ordinal);
        Assert.StartsWith("drawing drawing: at most 14.1421 x 14.1421 um,", text, StringComparison.Ordinal);
        Assert.EndsWith("\nsizes and places are upper bounds: cells are turned by other than quarter turns\n", text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("(0, 0) (10, 0) (10, 3) (0, 3)", 3000.0)]
    [InlineData("(0, 0) (3, 0) (0, 4)", 2400.0)] // altitude of the 3-4-5 triangle on its longest side: 3·4/5
    [InlineData("(0, 0) (10, 0) (10, 10) (0, 10) hole (1, 1) (9, 1) (9, 9) (1, 9)", 1000.0)]
    [InlineData("(0, 0) (10, 0) (10, 10) (0, 10) hole (2, 2) (2, 8) (7, 8) (7, 2)", 2000.0)]
    [InlineData("(0, 0) (10, 0) (10, 10) (6, 10) (6, 4) (4, 4) (4, 10) (0, 10)", 4000.0)] // a gap of 2 is no feature
    [InlineData("(0, 0) (4, 0) (4, 4) (8, 4) (8, 8) (3, 8) (3, 3) (0, 3)", 1000.0)] // a neck
    [InlineData("(0, 0) (4, 0) (4, 3) (8, 3) (8, 8) (3, 8) (3, 4) (0, 4)", 1000.0 * 1.4142135623730951)] // a neck between two inner corners
    public void The_narrowest_place_of_a_polygon_is_found(string polygon, double nanometres) =>
        Assert.Equal(nanometres, Narrowest(polygon)!.Value, 1e-6);

    [Fact]
    public void A_polygonised_circle_is_as_narrow_as_its_diameter()
    {
        // Common practice, no source: corners of a regular polygon of even number face each other at twice the radius; the
        // shortest way across runs between its flats, 2r·cos(π/n).
        string ring = string.Join(' ', Enumerable.Range(0, 100).Select(i => FormattableString.Invariant(
            $"({1000 * Math.Cos(2 * Math.PI * i / 100):0.000}, {1000 * Math.Sin(2 * Math.PI * i / 100):0.000})")));
        Assert.InRange(Narrowest(ring)!.Value, 2e6 * Math.Cos(Math.PI / 100) - 5, 2e6);
    }

    [Fact]
    public void Json_holds_the_same_and_the_messages()
    {
        LayoutSummary summary = LayoutSummary.Of(LayoutText.Read(Head + "rect on a dose 1.5 from (0, 0) to (1, 2)\n"));
        var stream = new MemoryStream();
        var note = new Diagnostic(DxfCodes.Ignored, Severity.Note, "ignored 2 TEXT on layer a", new SourcePlace("chip.dxf", 7)) { Count = 2 };
        LayoutSummaryJson.Write(summary, [note], stream);
        using JsonDocument json = JsonDocument.Parse(Encoding.UTF8.GetString(stream.ToArray()));
        JsonElement layer = json.RootElement.GetProperty("layers")[0];
        Assert.Equal(1, layer.GetProperty("rectangles").GetInt32());
        Assert.Equal(1.5, layer.GetProperty("lowestDoseFactor").GetDouble());
        Assert.Equal(1000, layer.GetProperty("smallestFeatureNanometres").GetDouble());
        Assert.Equal(2000, layer.GetProperty("extentNanometres").GetProperty("yMax").GetDouble());
        Assert.Equal(JsonValueKind.Null, json.RootElement.GetProperty("layers")[2].GetProperty("extentNanometres").ValueKind);
        Assert.Equal(2, json.RootElement.GetProperty("ignoredObjects").GetInt32());
        Assert.Equal(0, json.RootElement.GetProperty("openOutlines").GetInt32());
        Assert.False(json.RootElement.GetProperty("extentsAreUpperBounds").GetBoolean());
        Assert.Equal("chip.dxf:7", json.RootElement.GetProperty("messages")[0].GetProperty("place").GetString());
        Assert.Equal("note", json.RootElement.GetProperty("messages")[0].GetProperty("severity").GetString());
        Assert.EndsWith("}\n", Encoding.UTF8.GetString(stream.ToArray()), StringComparison.Ordinal);
    }
}
