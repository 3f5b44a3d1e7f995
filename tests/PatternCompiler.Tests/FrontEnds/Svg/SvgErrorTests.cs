using PatternCompiler.FrontEnds.Common;

namespace PatternCompiler.Tests.FrontEnds.Svg;

/// <summary>Whole texts of the errors; and files made to do harm.</summary>
public sealed class SvgErrorTests
{
    [Theory]
    [InlineData("<rect width=\"1x\" height=\"1\"/>", "rect", "PC0404: width=\"1x\" is no length; lengths are numbers with one of the units px, pt, pc, mm, cm, Q, in, % or none")]
    [InlineData("<rect width=\"NaN\" height=\"1\"/>", "rect", "PC0404: width=\"NaN\" is no length; lengths are numbers with one of the units px, pt, pc, mm, cm, Q, in, % or none")]
    [InlineData("<rect width=\"1e999\" height=\"1\"/>", "rect", "PC0404: width=\"1e999\" is no length; lengths are numbers with one of the units px, pt, pc, mm, cm, Q, in, % or none")]
    [InlineData("<rect width=\"1e300\" height=\"1\"/>", "rect", "PC0409: this shape lies beyond the grid of 0.1 nm, which reaches \u00B1107374.1823 um; state the drawing unit, or choose a coarser grid")]
    [InlineData("<circle r=\"1e300\"/>", "circle", "PC0409: this shape lies beyond the grid of 0.1 nm, which reaches \u00B1107374.1823 um; state the drawing unit, or choose a coarser grid")]
    [InlineData("<path d=\"M0 0 A 1e300 1 0 0 0 1 1\"/>", "path", "PC0409: this shape lies beyond the grid of 0.1 nm, which reaches \u00B1107374.1823 um; state the drawing unit, or choose a coarser grid")]
    [InlineData("<path d=\"M0 0 C 1e300 -1e300 1e308 0 1 1\"/>", "path", "PC0409: this shape lies beyond the grid of 0.1 nm, which reaches \u00B1107374.1823 um; state the drawing unit, or choose a coarser grid")]
    [InlineData("<line x2=\"1\" y2=\"0\" stroke=\"red\" stroke-width=\"1e300\"/>", "line", "PC0409: this shape lies beyond the grid of 0.1 nm, which reaches \u00B1107374.1823 um; state the drawing unit, or choose a coarser grid")]
    [InlineData("<line x2=\"1\" y2=\"0\" stroke=\"red\" stroke-width=\"-1\"/>", "line", "PC0404: stroke-width=\"-1\" is negative; write a length of zero or more")]
    [InlineData("<path id=\"p\" d=\"M0 0L1 1 2\"/>", "path \"p\"", "PC0405: path data is wrong at character 11: expected a number, found the end; fix the path in the drawing program")]
    [InlineData("<path d=\"L0 0\"/>", "path", "PC0405: path data is wrong at character 1: expected M to start with, found 'L0 0'; fix the path in the drawing program")]
    [InlineData("<path d=\"M0 0 X 1\"/>", "path", "PC0405: path data has no command 'X'; commands are M L H V C S Q T A Z")]
    [InlineData("<path d=\"M0 0 A1 1 0 2 0 1 1\"/>", "path", "PC0405: path data is wrong at character 13: expected a flag, 0 or 1, found '2 0 1 1'; fix the path in the drawing program")]
    [InlineData("<polygon points=\"0 0 1 1 2\"/>", "polygon", "PC0404: points are wrong at character 10: expected a number, found the end; points are pairs of numbers")]
    [InlineData("<g transform=\"turn(3)\"/>", "g", "PC0406: transform=\"turn(3)\" cannot be read; transforms are matrix, translate, scale, rotate, skewX and skewY with their numbers in brackets")]
    [InlineData("<g transform=\"scale(1 2 3)\"/>", "g", "PC0406: transform=\"scale(1 2 3)\" cannot be read; transforms are matrix, translate, scale, rotate, skewX and skewY with their numbers in brackets")]
    [InlineData("<g transform=\"scale(1\"/>", "g", "PC0406: transform=\"scale(1\" cannot be read; transforms are matrix, translate, scale, rotate, skewX and skewY with their numbers in brackets")]
    [InlineData("<use href=\"#x\"/>", "use", "PC0407: there is no element with the id \"x\"; name an element of this file")]
    [InlineData("<use href=\"http://example.org/a.svg#x\"/>", "use", "PC0407: \"http://example.org/a.svg#x\" is in another file, which is not read; copy elements of this file only, as in href=\"#id\"")]
    [InlineData("<use/>", "use", "PC0407: this 'use' names no element; copy elements of this file only, as in href=\"#id\"")]
    [InlineData("<use id=\"u\" href=\"#u\"/>", "use \"u\"", "PC0408: the element \"u\" copies itself; remove this 'use'")]
    [InlineData("<svg viewBox=\"0 0 0 1\"/>", "svg", "PC0404: viewBox=\"0 0 0 1\" is not four numbers with width and height above zero; write for example: viewBox=\"0 0 100 100\"")]
    [InlineData("<rect clip-path=\"url(#c)\"/>", "rect", "PC0480: clip-path=\"url(#c)\" is not read; turn what it makes into plain paths in the drawing program")]
    [InlineData("<g style=\"mask: url(#c)\"/>", "g", "PC0480: mask=\"url(#c)\" is not read; turn what it makes into plain paths in the drawing program")]
    [InlineData("<g filter=\"blur(1px)\"/>", "g", "PC0480: filter=\"blur(1px)\" is not read; turn what it makes into plain paths in the drawing program")]
    [InlineData("<path d=\"M0 0h1v1z\" style=\"marker: url(#m)\"/>", "path", "PC0480: marker-start=\"url(#m)\" is not read; turn what it makes into plain paths in the drawing program")]
    [InlineData("<path d=\"M0 0h1v1z\" stroke=\"red\" stroke-dasharray=\"1 2\"/>", "path", "PC0480: stroke-dasharray=\"1 2\" is not read; turn what it makes into plain paths in the drawing program")]
    [InlineData("<path d=\"M0 0h1v1z\" stroke=\"red\" stroke-linejoin=\"arcs\"/>", "path", "PC0480: stroke-linejoin=\"arcs\" is not read; one of miter, round, bevel is")]
    [InlineData("<path d=\"M0 0h1v1z\" fill=\"url(#p)\"/>", "path", "PC0407: fill=\"url(#p)\" leads to no element of this file; name a colour or a gradient of this file")]
    [InlineData("<path d=\"M0 0h1v1z\" fill=\"url(#p)\"/><pattern id=\"p\"/>", "path", "PC0480: fill=\"url(#p)\" is a 'pattern', which is not read; fill with a colour, and draw the pattern itself")]
    [InlineData("<path d=\"M0 0h1v1z\" fill=\"url(#p)\"/><linearGradient id=\"p\"><stop stop-opacity=\".5\"/></linearGradient>", "path", "PC0480: fill=\"url(#p)\" is a gradient that is transparent in part; fill with a colour")]
    [InlineData("<path d=\"M0 0h1v1z\" fill=\"bluish\"/>", "path", "PC0480: fill=\"bluish\" is no colour; write a colour of CSS, for example #000000")]
    [InlineData("<path d=\"M0 0h1v1z\" fill=\"var(--a)\"/>", "path", "PC0480: fill=\"var(--a)\" is not read; write the value itself")]
    [InlineData("<path d=\"M0 0h1v1z\" opacity=\"x\"/>", "path", "PC0404: opacity=\"x\" is no opacity; write a number between 0 and 1, or a percentage")]
    [InlineData("<circle style=\"r: calc(1px + 1px)\"/>", "circle", "PC0480: r: calc(1px + 1px) in a style is not read; write it as the attribute r")]
    [InlineData("<path style=\"d: path('M0 0h1v1z')\"/>", "path", "PC0480: d: path('M0 0h1v1z') in a style is not read; write it as the attribute d")]
    [InlineData("<g style=\"all: unset\"/>", "g", "PC0480: all: unset is not read; state the properties themselves")]
    [InlineData("<g style=\"rotate: 5deg\"/>", "g", "PC0480: rotate=\"5deg\" is not read; turn what it makes into plain paths in the drawing program")]
    [InlineData("<g transform=\"scale(2)\" style=\"transform-box: fill-box\"/>", "g", "PC0480: transform-box=\"fill-box\" is not read for this element; state transform-origin in the units of the view box")]
    [InlineData("<g transform=\"scale(2)\" transform-origin=\"1 2 3 4\"/>", "g", "PC0406: transform-origin=\"1 2 3 4\" cannot be read; write for example: transform-origin=\"50% 50%\"")]
    [InlineData("<g systemLanguage=\"de\"/>", "g", "PC0480: systemLanguage=\"de\" is not read; delete what is for other languages, and this attribute")]
    [InlineData("<set attributeName=\"x\" to=\"1\"/>", "set", "PC0480: animations are not read; draw one state, and delete the animation")]
    [InlineData("<svg preserveAspectRatio=\"middle\" viewBox=\"0 0 1 1\"/>", "svg", "PC0404: preserveAspectRatio=\"middle\" cannot be read; write for example: preserveAspectRatio=\"xMidYMid meet\"")]
    [InlineData("<svg width=\"-1\"/>", "svg", "PC0404: width=\"-1\" is negative; write a length of zero or more")]
    [InlineData("<symbol id=\"s\" refX=\"1\"/><use href=\"#s\"/>", "symbol \"s\"", "PC0480: refX of a symbol is not read; shift its view box, or the 'use' that copies it")]
    [InlineData("<style>g:has(a) {}</style>", "style", "PC0480: the style sheet has a selector \"g:has(a)\", of which \":has(a)\" is not read; select by element name, class, id or attribute")]
    [InlineData("<style>a, s|b {}</style>", "style", "PC0480: the style sheet has a selector \"a, s|b\", of which \"|b\" is not read; select by element name, class, id or attribute")]
    [InlineData("<style>a::before {}</style>", "style", "PC0480: the style sheet has a selector \"a::before\", of which \"::before\" is not read; select by element name, class, id or attribute")]
    [InlineData("<style>@media print { a { fill: none } }</style>", "style", "PC0480: the style sheet has a rule \"@media\", which is not read; write its rules without conditions, or delete it")]
    [InlineData("<style>a { b { fill: none } }</style>", "style", "PC0480: the style sheet has rules inside the rule \"a\", which are not read; write them one after the other")]
    [InlineData("<style media=\"print\"/>", "style", "PC0480: the style sheet for media=\"print\" is not read; leave the attribute out if the rules hold, or delete the style sheet")]
    public void Faults_name_the_element(string content, string entity, string message) =>
        Assert.Equal($"a.svg:2:2 ({entity}): error {message}", SvgText.Error(SvgText.Page(content)));

    [Theory]
    [InlineData("<svg xmlns=\"http://www.w3.org/2000/svg\"><g></svg>", "a.svg:1:46: error PC0401: the file is not well-formed XML: The 'g' start tag on line 1 position 42 does not match the end tag of 'svg'; export the drawing again as SVG")]
    [InlineData("<svg xmlns=\"http://www.w3.org/2000/svg\"><rect", "a.svg:1:46: error PC0401: the file is not well-formed XML: Unexpected end of file while parsing Name has occurred; export the drawing again as SVG")]
    [InlineData("<?xml version=\"1.0\"?><!-- <svg/> -->", "a.svg: error PC0401: the file is not well-formed XML: Root element is missing; export the drawing again as SVG")]
    [InlineData("<?xml-stylesheet href=\"a.css\"?><svg xmlns=\"http://www.w3.org/2000/svg\"/>", "a.svg:1:3: error PC0480: the style sheet of another file is not read; export the drawing as plain SVG")]
    [InlineData("<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:h=\"http://www.w3.org/1999/xhtml\"><h:link href=\"a.css\"/></svg>", "a.svg:1:81: error PC0480: the HTML element 'link' is not read; export the drawing as plain SVG")]
    [InlineData("<html></html>", "a.svg:1:2: error PC0402: the outermost element is 'html', not 'svg'; export the drawing as SVG")]
    public void Faults_of_the_xml_are_reported(string text, string expected) => Assert.Equal(expected, SvgText.Error(text));

    [Theory]
    [InlineData("<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;\"><!ENTITY c \"&b;&b;&b;&b;&b;&b;&b;&b;\">", "declares entities, which are")]
    [InlineData("<!ENTITY c SYSTEM \"file:///etc/hostname\">", "declares entities, which are")]
    [InlineData("<!ENTITY c SYSTEM \"http://192.0.2.1/x\">", "declares entities, which are")]
    [InlineData("<!ENTITY % p SYSTEM \"http://192.0.2.1/x.dtd\"> %p;", "declares entities, which are")]
    [InlineData("<!ATTLIST rect width CDATA \"1\">", "has declarations, which are")]
    public void Declarations_of_a_document_type_are_refused(string declarations, string what) => Assert.Equal(
        $"a.svg:2:11: error PC0415: the document type {what} not accepted; export the drawing as plain SVG, or delete what stands in square brackets in its DOCTYPE",
        SvgText.Error($"<?xml version=\"1.0\"?>\n<!DOCTYPE svg [{declarations}]>\n<svg xmlns=\"http://www.w3.org/2000/svg\"><title>&c;</title></svg>"));

    // Entities within the declarations are expanded while those are read: up to a bound, and never within one another.
    [Theory]
    [InlineData("<!ENTITY % a '<!--{0}-->'>%a;%a;%a;", "a.svg: error PC0415: the document type declares entities, which are not accepted; export the drawing as plain SVG, or delete what stands in square brackets in its DOCTYPE")]
    [InlineData("<!ENTITY % a '<!--{0}-->'><!ENTITY % b '%a;%a;'>%b;", "a.svg:1:831: error PC0401: the file is not well-formed XML: A parameter entity reference is not allowed in internal markup; export the drawing again as SVG")]
    public void Declarations_that_grow_are_refused(string declarations, string expected) => Assert.Equal(
        expected,
        SvgText.Error($"<!DOCTYPE svg [{declarations.Replace("{0}", new string('x', 777), StringComparison.Ordinal)}]><svg xmlns=\"http://www.w3.org/2000/svg\"/>"));

    [Fact]
    public void A_plain_document_type_is_accepted_and_not_fetched() => Assert.Single(SvgText.Read(
        "<?xml version=\"1.0\" standalone=\"no\"?>\n<!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" \"http://192.0.2.1/svg11.dtd\">\n"
        + "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1mm\"><rect width=\"1\" height=\"1\"/></svg>").Cells[0].Shapes);

    [Fact]
    public void Copies_in_a_circle_are_refused() => Assert.Equal(
        "a.svg:2:12 (use): error PC0408: the element \"b\" copies itself; remove this 'use'",
        SvgText.Error(SvgText.Page("<g id=\"a\"><use href=\"#b\"/></g>\n<g id=\"b\"><g><use href=\"#a\"/></g></g>")));

    [Fact]
    public void Copies_of_copies_are_counted()
    {
        string levels = string.Concat(Enumerable.Range(1, 10).Select(i =>
            $"<g id=\"g{i}\">" + string.Concat(Enumerable.Repeat($"<use href=\"#g{i - 1}\"/>", 10)) + "</g>\n"));
        string error = SvgText.Error(SvgText.Page($"<defs><g id=\"g0\"><rect width=\"1\" height=\"1\"/></g>\n{levels}</defs><use href=\"#g10\"/>"));
        Assert.Contains("error PC0403: 'use' makes more than 500000 copies of elements; draw arrays in a text layout instead", error, StringComparison.Ordinal);
    }

    [Fact]
    public void Deep_nesting_is_refused()
    {
        string deep = string.Concat(Enumerable.Repeat("<g>", 10_000));
        Assert.Equal("a.svg:2:770: error PC0403: elements nest more than 256 deep; ungroup some of them in the drawing program", SvgText.Error(SvgText.Page(deep)));
    }

    [Theory]
    [InlineData(0, 1, null, "error PC0414: the grid must be 1 pm or more")]
    [InlineData(100, 0.01, null, "error PC0414: the chord error must be half a grid step or more")]
    [InlineData(100, double.NaN, null, "error PC0414: the chord error must be half a grid step or more")]
    [InlineData(100, 1, -1.0, "error PC0414: the drawing unit must be above zero")]
    public void Options_are_checked(long grid, double chord, double? unit, string expected) => Assert.Equal(
        expected,
        SvgText.Error(SvgText.Page(""), new DrawingOptions { GridPicometres = grid, ChordErrorNanometres = chord, UnitNanometres = unit }));
}
