namespace PatternCompiler.Tests.FrontEnds.Svg;

/// <summary>Which declaration of a property holds (CSS Cascading and Inheritance 4), and what a selector selects (Selectors 4).</summary>
public sealed class SvgCascadeTests
{
    private static bool IsDrawn(string sheet, string attributes) => SvgText.Shapes(
        $"<style>{sheet}</style><g class=\"outer\"><title/><rect id=\"b\" class=\"a c\" width=\"1\" height=\"1\" {attributes}/></g>").Length > 0;

    [Theory]
    [InlineData(".a {fill: none} .c {fill: #000}", "", true)] // the later of two equals
    [InlineData(".c {fill: #000} .a {fill: none}", "", false)]
    [InlineData("#b {fill: #000} .a {fill: none}", "", true)] // the more specific
    [InlineData("#b {fill: #000} .a {fill: none !important}", "", false)]
    [InlineData("rect.a {fill: #000} .a {fill: none}", "", true)]
    [InlineData("rect {fill: none}", "fill=\"#000\"", false)] // attributes are the weakest
    [InlineData("* {fill: none}", "fill=\"#000\"", false)]
    [InlineData("#b {fill: none}", "style=\"fill: #000\"", true)]
    [InlineData(".a {fill: none ! IMPORTANT}", "style=\"fill: #000\"", false)]
    [InlineData(".a {fill: none !important}", "style=\"fill: #000 !important\"", true)]
    [InlineData("", "style=\"fill: none; fill: #000\"", true)]
    [InlineData("", "style=\"fill: none !important; fill: #000\"", false)]
    [InlineData(".outer {fill: none !important} rect {fill: #000}", "", true)] // what is inherited is weaker than anything
    [InlineData(".outer {display: none} rect {display: inline !important}", "", false)]
    [InlineData("rect {fill: none} .a {fill: inherit}", "", true)]
    [InlineData(".outer {fill: none} .a {fill: initial}", "", true)]
    [InlineData(".outer {fill: none} .a {fill: unset}", "", false)]
    [InlineData(".outer {color: transparent; fill: currentColor} .a {color: #000}", "", true)]
    [InlineData("/* .a {} */ .\\61 {fill: none}", "", false)]
    [InlineData("[class='{};'] {fill: #f00} .a {fill: none}", "", false)]
    [InlineData("@font-face {font-family: x; src: url('}')} .a {fill: none}", "", false)]
    public void The_strongest_declaration_holds(string sheet, string attributes, bool isDrawn) => Assert.Equal(isDrawn, IsDrawn(sheet, attributes));

    [Theory]
    [InlineData("svg rect", true)]
    [InlineData("svg > rect", false)]
    [InlineData("svg > g > rect", true)]
    [InlineData("svg > g rect.a.c", true)]
    [InlineData("g > g rect", false)]
    [InlineData("title + rect", true)]
    [InlineData("title ~ rect", true)]
    [InlineData("rect ~ title", false)]
    [InlineData("style + g > rect", true)]
    [InlineData("[id]", true)]
    [InlineData("[id=b]", true)]
    [InlineData("[id=B]", false)]
    [InlineData("[id=B i]", true)]
    [InlineData("[class~=c]", true)]
    [InlineData("[class|=a]", false)]
    [InlineData("[class^=a][class$=\"c\"][class*=' ']", true)]
    [InlineData(":nth-child(2)", true)]
    [InlineData(":nth-child(even)", true)]
    [InlineData(":nth-child(odd)", false)]
    [InlineData("g > :nth-child(-n+1)", false)]
    [InlineData("rect:nth-last-child(1)", true)]
    [InlineData("rect:nth-of-type( 2n + 1 )", true)]
    [InlineData("rect:first-child", false)]
    [InlineData("rect:only-of-type:last-child:empty", true)]
    [InlineData("rect:nth-child(1 of .a)", true)]
    [InlineData("rect:not(.x, #b)", false)]
    [InlineData("rect:not(.x):not(g g *)", true)]
    [InlineData(":is(svg > g) > :where(rect)", true)]
    [InlineData(":root rect:hover", false)]
    [InlineData("g, circle, rect", true)]
    public void Selectors_select(string selector, bool isSelected) => Assert.Equal(!isSelected, IsDrawn(selector + " {fill: none}", "fill=\"#000\""));

    // SVG 2, 5.6.3: what does not stand in the copied element is not there for the copy.
    [Theory]
    [InlineData("g > rect", true)]
    [InlineData("svg rect", true)]
    [InlineData("title + rect", true)]
    [InlineData("rect:nth-child(2)", true)]
    [InlineData("rect:first-child", false)]
    [InlineData("rect", false)]
    public void A_copy_is_a_tree_of_its_own(string selector, bool isDrawn) => Assert.Equal(
        isDrawn ? "rect on drawing from (2, 9) to (3, 10)" : "",
        SvgText.Shapes($"<style>{selector} {{fill: none}}</style><defs><g><title/><rect id=\"r\" width=\"1\" height=\"1\"/></g></defs><use href=\"#r\" x=\"2\"/>"));

    [Fact]
    public void A_style_may_state_the_outline() => Assert.Equal(
        "rect on drawing from (0, 8) to (3, 10)",
        SvgText.Shapes("<style>rect {width: 3px; height: 20%}</style><rect width=\"1\" height=\"1\"/>"));

    [Fact]
    public void Matching_is_bounded()
    {
        string children = string.Concat(Enumerable.Repeat("<rect/>", 3000));
        string error = SvgText.Error(SvgText.Page($"<style>rect ~ rect ~ rect ~ rect ~ g {{}} rect ~ rect ~ rect ~ rect ~ rect {{fill: none}}</style>{children}"));
        Assert.Equal("a.svg:2:2 (style): error PC0403: the style rules need more than 13002000 comparisons with elements; select by class or id", error);
    }
}
