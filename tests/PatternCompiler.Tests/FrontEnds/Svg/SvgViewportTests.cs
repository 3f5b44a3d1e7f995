using PatternCompiler.FrontEnds.Common;

namespace PatternCompiler.Tests.FrontEnds.Svg;

/// <summary>Where things stand and what cuts them: transform origins, viewports inside the page, copies, conditions.</summary>
public sealed class SvgViewportTests
{
    // CSS Transforms 1, 5: the origin of the view box, percentages of its size; or the box about the shape.
    [Theory]
    [InlineData("transform-origin=\"2 2\"", "from (2, 8) to (3, 9)")]
    [InlineData("transform-origin=\"20% 10%\"", "from (1, 9) to (2, 10)")]
    [InlineData("transform-origin=\"center\"", "from (8, 8) to (9, 9)")]
    [InlineData("transform-origin=\"top left\"", "from (-2, 8) to (-1, 9)")]
    [InlineData("transform-origin=\"2px\"", "from (5, 5) to (6, 6)")]
    [InlineData("style=\"transform-box: fill-box; transform-origin: center\"", "from (1, 8) to (2, 9)")]
    [InlineData("style=\"transform-box: fill-box; transform-origin: 100% 100%\"", "from (2, 8) to (3, 9)")]
    [InlineData("style=\"transform-box: fill-box\"", "from (0, 8) to (1, 9)")]
    public void A_transform_has_an_origin(string attribute, string expected) => Assert.Equal(
        "rect on drawing " + expected,
        SvgText.Shapes($"<rect x=\"1\" y=\"1\" width=\"1\" height=\"1\" transform=\"rotate(90)\" {attribute}/>"));

    [Theory]
    [InlineData("<svg x=\"1\" y=\"1\" width=\"2\" height=\"2\"><rect width=\"6\" height=\"1\"/></svg>", "rect on drawing from (1, 8) to (3, 9)")]
    [InlineData("<svg x=\"1\" y=\"1\" width=\"2\" height=\"2\" overflow=\"visible\"><rect width=\"6\" height=\"1\"/></svg>", "rect on drawing from (1, 8) to (7, 9)")]
    [InlineData("<svg x=\"1\" y=\"1\" width=\"2\" height=\"2\" style=\"overflow:auto\"><rect width=\"6\" height=\"1\"/></svg>", "rect on drawing from (1, 8) to (7, 9)")]
    [InlineData("<symbol id=\"s\" viewBox=\"0 0 1 1\"><rect width=\"6\" height=\".5\"/></symbol><use href=\"#s\" width=\"2\" height=\"2\"/>", "rect on drawing from (0, 9) to (2, 10)")]
    [InlineData("<symbol id=\"s\" viewBox=\"0 0 1 1\" width=\"3\" height=\"1\" preserveAspectRatio=\"none\"><rect width=\"1\" height=\"1\"/></symbol><use href=\"#s\"/>", "rect on drawing from (0, 9) to (3, 10)")]
    [InlineData("<symbol id=\"s\" viewBox=\"0 0 1 1\" width=\"3\" height=\"1\" preserveAspectRatio=\"none\"><rect width=\"1\" height=\"1\"/></symbol><use href=\"#s\" width=\"50%\"/>", "rect on drawing from (0, 9) to (5, 10)")]
    [InlineData("<defs><svg id=\"s\" x=\"1\" width=\"1\" height=\"1\"><rect width=\"6\" height=\"6\"/></svg></defs><use href=\"#s\" x=\"1\" width=\"3\"/>", "rect on drawing from (2, 9) to (5, 10)")]
    [InlineData("<svg x=\"1\" y=\"1\" width=\"2\" height=\"4\"><svg y=\"1\" width=\"9\" height=\"9\"><rect width=\"6\" height=\"6\"/></svg></svg>", "rect on drawing from (1, 5) to (3, 8)")]
    [InlineData("<svg width=\"0\" height=\"2\"><rect width=\"6\" height=\"1\"/></svg>", "")]
    public void A_viewport_cuts_what_stands_inside(string content, string expected) => Assert.Equal(expected, SvgText.Shapes($"<g>{content}</g>"));

    [Theory]
    [InlineData("<switch><g requiredExtensions=\"urn:x\"><rect width=\"9\" height=\"9\"/></g><g><rect width=\"1\" height=\"1\"/></g><rect width=\"8\" height=\"8\"/></switch>")]
    [InlineData("<switch><title/><foreignObject requiredExtensions=\"urn:x\"/><rect width=\"1\" height=\"1\"/><rect width=\"8\" height=\"8\"/></switch>")]
    [InlineData("<rect width=\"1\" height=\"1\"/><rect width=\"8\" height=\"8\" requiredExtensions=\"\"/>")]
    public void Of_a_switch_the_first_that_holds_is_drawn(string content) =>
        Assert.Equal("rect on drawing from (0, 9) to (1, 10)", SvgText.Shapes(content));

    [Theory]
    [InlineData("fill=\"#00000000\"")]
    [InlineData("fill=\"#0000\"")]
    [InlineData("fill=\"transparent\"")]
    [InlineData("fill=\"rgb(0 0 0 / 0%)\"")]
    [InlineData("fill=\"rgba(0, 0, 0, 0)\"")]
    [InlineData("fill=\"hsla(0,0%,0%,0)\"")]
    [InlineData("fill=\"oklch(50% 0.1 20 / 0)\"")]
    [InlineData("fill=\"currentColor\" color=\"#f000\"")]
    [InlineData("fill-opacity=\"0\"")]
    [InlineData("fill-opacity=\"-3\"")]
    [InlineData("style=\"opacity: 0%\"")]
    [InlineData("style=\"fill-opacity: .0\"")]
    public void What_is_transparent_is_not_exposed(string attribute) =>
        Assert.Equal("", SvgText.Shapes($"<rect width=\"1\" height=\"1\" {attribute}/>"));

    [Theory]
    [InlineData("red", "#ff0000")]
    [InlineData("hsl(120deg 100% 25%)", "#008000")]
    [InlineData("hsl(0.5turn, 100%, 50%)", "#00ffff")]
    [InlineData("hwb(60 0% 0%)", "#ffff00")]
    [InlineData("hwb(60 60% 60%)", "#808080")]
    [InlineData("#abcd", "#aabbcc")]
    public void Colours_have_one_spelling(string paint, string expected) => Assert.Equal(
        $"rect on \"{expected}\" from (0, 9) to (1, 10)",
        SvgText.Shapes($"<rect width=\"1\" height=\"1\" fill=\"{paint}\"/>", new() { SvgLayerNaming = SvgLayerNaming.ByColour }));

    // A stroke along a half circle that is open but comes back, and one that is closed: ends, or a join.
    [Fact]
    public void A_subpath_that_comes_back_without_being_closed_has_two_ends()
    {
        Assert.StartsWith("path on drawing width 1 (", SvgText.Shapes("<path fill=\"none\" stroke=\"red\" d=\"M2 2h4v4h-4z\"/>"));
        Assert.StartsWith("polygon on drawing ", SvgText.Shapes("<path fill=\"none\" stroke=\"red\" d=\"M2 2h4v4h-4v-4\"/>"));
    }

    [Fact]
    public void The_ends_of_a_curved_stroke_are_square_to_the_curve()
    {
        // The ends of this half circle are level: two corners 1 to either side of each end, at the height of the centre.
        string polygon = SvgText.Shapes("<path d=\"M3 5A2 2 0 0 1 7 5\" fill=\"none\" stroke=\"#000\" stroke-width=\"2\"/>");
        Assert.All((string[])["(2, 5)", "(4, 5)", "(6, 5)", "(8, 5)"], corner => Assert.Contains(corner, polygon, StringComparison.Ordinal));
        Assert.DoesNotContain(", 4.9", polygon, StringComparison.Ordinal);
    }
}
