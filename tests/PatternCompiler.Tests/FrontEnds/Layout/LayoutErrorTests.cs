using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Layout;

namespace PatternCompiler.Tests.FrontEnds.Layout;

/// <summary>Whole texts of the errors, place and caret included.</summary>
public sealed class LayoutErrorTests
{
    private const string Head = "layout 1\nunit um\nlayer pads\n";

    /// <summary>Reads the head and one line; the error is at line 4, and its caret under the marked column.</summary>
    private static void AssertLine(string line, int column, string message) => Assert.Equal(
        $"chip.layout:4:{column}: error {message}\n    {PatternCompiler.Diagnostics.PrintedText.Of(line)}\n    {new string(' ', column - 1)}^",
        LayoutText.Error(Head + line + "\n"));

    [Theory]
    [InlineData("", "chip.layout: error PC0201: the file is empty; a text layout starts with the line: layout 1")]
    [InlineData("hello\n", "chip.layout:1:1: error PC0201: this is not a text layout; a text layout starts with the line: layout 1\n    hello\n    ^")]
    [InlineData("layout 2\n", "chip.layout:1:8: error PC0201: version 2 of the text layout is not known; this program reads version 1\n    layout 2\n           ^")]
    [InlineData("layout\n", "chip.layout:1:7: error PC0204: expected the version of the language, 1, found the end of the line\n    layout\n          ^")]
    [InlineData("layout 1 x\n", "chip.layout:1:10: error PC0204: expected the end of the line after the version, found 'x'\n    layout 1 x\n             ^")]
    public void The_first_line(string text, string expected) => Assert.Equal(expected, LayoutText.Error(text));

    [Theory]
    [InlineData("rectt on pads", 1, "PC0202: there is no statement 'rectt'; did you mean 'rect'?")]
    [InlineData("xyzzy", 1, "PC0202: there is no statement 'xyzzy'; statements are rect, polygon, hole, part, circle, ring, path, line, dot, text, place, array, let, cell, repeat, end, layer, unit, grid, drawing, placed, include, layout")]
    [InlineData("= 3", 1, "PC0204: expected a statement, found '='")]
    [InlineData("  12", 3, "PC0204: expected a statement, found '12'")]
    [InlineData("\u0001", 1, "PC0204: expected a statement, found 'character 01 hex'")]
    [InlineData("circle on pads at (0, 0) radios 3", 26, "PC0203: 'circle' has no argument 'radios'; did you mean 'radius'?")]
    [InlineData("dot on pads at (0, 0) width 3", 23, "PC0203: 'dot' has no argument 'width'; it takes on, at, dose")]
    [InlineData("rect on pads from (0, 0) to (10, 5) um", 37, "PC0204: the unit 'um' follows no number; write it after each number, as in (1 um, 2 um)")]
    [InlineData("rect on pads from 0, 0 to (1, 1)", 19, "PC0204: expected a point, as in (1, 2), found '0'")]
    [InlineData("rect on pads from (0; 0)", 21, "PC0204: expected ',' between x and y, found ';'")]
    [InlineData("rect on pads from (0, 0", 24, "PC0204: expected ')' to close the point, found the end of the line")]
    [InlineData("rect on pads from (0, )", 23, "PC0204: expected a number, a parameter or a formula, found ')'")]
    [InlineData("rect on pads from (0, 0) 7", 26, "PC0204: expected an argument of 'rect' (on, from, to, at, centre, size, dose), found '7'")]
    [InlineData("path on pads width 1 ends pointed (0, 0) (1, 1)", 27, "PC0204: expected flat, square or round, found 'pointed'")]
    [InlineData("place a at (0, 0) mirror x", 26, "PC0204: expected left-right or up-down, found 'x'")]
    [InlineData("cell", 5, "PC0204: expected the name of the cell, found the end of the line")]
    [InlineData("cell a b", 8, "PC0204: expected the end of the line after the name of the cell, found 'b'")]
    [InlineData("layer \"pads", 7, "PC0204: the closing quote is missing; put a \" after the last character")]
    [InlineData("layer \"\"", 7, "PC0204: nothing stands between the quotes; write the name of the layer")]
    [InlineData("layer \"a\\b\"", 9, "PC0204: a backslash in quotes is followed by \\, \", n or u{number}; write \\\\ for a backslash")]
    [InlineData("repeat 3 of i", 13, "PC0204: expected 'as' and a name for the running number, or the end of the line, found 'i'")]
    public void Syntax(string line, int column, string message) => AssertLine(line, column, message);

    [Theory]
    [InlineData("rect from (0, 0) to (1, 1)", 27, "PC0205: 'rect' needs 'on'; add for example: on LAYER")]
    [InlineData("rect on pads", 13, "PC0205: 'rect' needs two corners, or one corner or its centre with a size; add for example: from (0, 0) to (10, 5)")]
    [InlineData("rect on pads from (0, 0)", 25, "PC0205: 'rect' needs 'to'; add for example: to (10, 5)")]
    [InlineData("rect on pads at (0, 0)", 23, "PC0205: 'rect' needs 'size'; add for example: size (10, 5)")]
    [InlineData("circle on pads at (0, 0)", 25, "PC0205: 'circle' needs 'radius'; add for example: radius 2 um")]
    [InlineData("path on pads (0, 0) (1, 1)", 14, "PC0205: 'path' needs 'width'; add for example: width 0.5 um")]
    [InlineData("array a at (0, 0)", 18, "PC0205: 'array' needs 'columns' or 'rows'; add for example: columns 5 column-step 2 um")]
    [InlineData("array a at (0, 0) columns 3", 28, "PC0205: 'array' needs 'column-step'; add for example: column-step 2 um")]
    [InlineData("array a at (0, 0) columns 3 column-step 1 rows 2", 49, "PC0205: 'array' needs 'row-step'; add for example: row-step 2 um")]
    [InlineData("array a at (0, 0) rows 1 column-dose 1", 39, "PC0205: 'array' needs 'columns'; add for example: columns 5")]
    [InlineData("text \"A\" on pads at (0, 0)", 27, "PC0205: 'text' needs 'height'; add for example: height 5 um")]
    [InlineData("dot on pads at (0, 0) at (1, 1)", 23, "PC0206: 'at' is given twice; keep one of them")]
    [InlineData("rect on pads from (0, 0) to (1, 1) size (2, 2)", 47, "PC0206: 'from' and 'size' exclude each other; keep one of them")]
    [InlineData("circle on pads at (0, 0) radius 1 diameter 2", 45, "PC0206: 'radius' and 'diameter' exclude each other; keep one of them")]
    public void Arguments(string line, int column, string message) => AssertLine(line, column, message);

    [Theory]
    [InlineData("dot on pads at (2 um * 3 um, 0)", 17, "PC0208: a length is needed here, but this is an area")]
    [InlineData("dot on pads at (0, 0) dose 1 um", 28, "PC0208: a dose factor is a plain number, but this is a length")]
    [InlineData("dot on pads at (floor(2 um), 0)", 17, "PC0208: 'floor' takes a plain number, but this is a length; divide by a length first, as in floor(a / b)")]
    [InlineData("let a = 2 um * 2 um + 1 um", 23, "PC0208: an area and a length cannot be added")]
    [InlineData("let a = sqrt(2 um)", 9, "PC0208: 'sqrt' takes a plain number or an area, but this is a length")]
    [InlineData("dot on pads at (107374.18235, 0)", 17, "PC0209: this length does not fit the grid of 0.1 nm, which reaches \u00B1107374.1823 um; choose a coarser grid, or check the unit")]
    [InlineData("dot on pads at (0, -1 m)", 20, "PC0209: this length does not fit the grid of 0.1 nm, which reaches \u00B1107374.1823 um; choose a coarser grid, or check the unit")]
    [InlineData("rect on pads at (100 mm, 0) size (10 mm, 1)", 1, "PC0209: this rectangle does not fit the grid of 0.1 nm, which reaches \u00B1107374.1823 um; choose a coarser grid, or check the unit")]
    [InlineData("dot on pads at (0, 0) dose -1", 28, "PC0209: a dose factor lies between 0 and 2000")]
    [InlineData("array a at (0, 0) columns 2.5 column-step 1", 27, "PC0209: the number of columns is a whole number from 1 to 2147483647")]
    [InlineData("place a at (0, 0) scale 0", 25, "PC0209: a scale factor is not zero")]
    [InlineData("dot on padz at (0, 0)", 8, "PC0210: there is no layer 'padz'; did you mean 'pads'?")]
    [InlineData("dot on nothing at (0, 0)", 8, "PC0210: there is no layer 'nothing'; declare it near the top with: layer nothing")]
    [InlineData("let pads = pitch", 12, "PC0216: there is no parameter 'pitch'; define it above with: let pitch = ...")]
    [InlineData("dot on pads at (sqt(2), 0)", 17, "PC0216: there is no parameter 'sqt'; did you mean 'sqrt'?")]
    [InlineData("let um = 3", 5, "PC0212: 'um' has a meaning of its own and cannot name a parameter; choose another name")]
    [InlineData("let a = 1 / (2 - 2)", 13, "PC0217: division by zero")]
    [InlineData("let a = sqrt(-1)", 9, "PC0217: the root of a negative number has no value")]
    [InlineData("let a = tan(90)", 9, "PC0217: the tangent of a right angle has no value")]
    [InlineData("let a = 1e300", 9, "PC0217: this number is too large; numbers have at most 28 digits before the point")]
    [InlineData("dot on pads at (NaN, 0)", 17, "PC0216: there is no parameter 'NaN'; did you mean 'tan'?")]
    [InlineData("let a = 1e20 * 1e20", 9, "PC0217: the value of this formula is too large; numbers have at most 28 digits before the point")]
    [InlineData("dot on pads at (800000000000000000000000, 0)", 17, "PC0217: the value of this formula is too large; numbers have at most 28 digits before the point")]
    [InlineData("let a = 1 nm + 800000000000000000000000", 9, "PC0217: the value of this formula is too large; numbers have at most 28 digits before the point")]
    [InlineData("let a = min(1)", 14, "PC0204: expected ',' and another argument of 'min', which takes 2, found ')'")]
    [InlineData("let a 3", 7, "PC0204: expected '=' after the name of the parameter, found '3'")]
    public void Values(string line, int column, string message) => AssertLine(line, column, message);

    [Theory]
    [InlineData("rect on pads from (0, 0) to (0.00004, 5)", 1, "PC0214: this rectangle has no width on the grid of 0.1 nm; draw a 'line' if a single pass of the beam is meant")]
    [InlineData("rect on pads at (0, 0) size (3, -1)", 29, "PC0214: width and height are one grid step (0.1 nm) or more")]
    [InlineData("circle on pads at (0, 0) radius 0", 33, "PC0214: the radius is less than one grid step (0.1 nm); make it 0.1 nm or more")]
    [InlineData("ring on pads at (0, 0) inner 2 outer 2", 1, "PC0214: the inner radius of this ring is not below its outer radius; exchange the two")]
    [InlineData("polygon on pads (0, 0) (1, 1)", 1, "PC0214: a ring of this polygon has 2 points only; it needs 3 or more")]
    [InlineData("polygon on pads (0, 0) (1, 1) (2, 0) hole", 1, "PC0214: a ring of this polygon has no point only; it needs 3 or more")]
    [InlineData("line on pads (0, 0)", 1, "PC0214: this line has one point only; it needs 2 or more")]
    [InlineData("text \"A\" on pads at (0, 0) height 1 nm", 1, "PC0214: letters are at least 12 grid steps (1.2 nm) high")]
    [InlineData("text \"\u00E9\" on pads at (0, 0) height 1", 1, "PC0209: there is no letter for '\u00E9'; letters are those of ASCII and \u00B5 \u00B2 \u00B1 \u00B0 \u00B7 \u00D7")]
    [InlineData("line on pads (0, 0) (1, 1) hole (2, 2)", 28, "PC0204: a 'line' has no 'hole'; only a polygon has")]
    [InlineData("line on pads (0, 0) (1, 1) dose 2", 28, "PC0204: expected a point, as in (1, 2), found 'dose'")]
    [InlineData("(0, 0) (1, 1)", 1, "PC0215: these points belong to no shape; only 'polygon', 'path' and 'line' go on in the next line")]
    [InlineData("end", 1, "PC0215: this 'end' closes nothing; remove it, or look for a 'cell' or 'repeat' that is missing above")]
    [InlineData("cell a", 1, "PC0215: this 'cell' is never ended; add a line: end")]
    [InlineData("repeat 3", 1, "PC0215: this 'repeat' is never ended; add a line: end")]
    [InlineData("place finger at (0, 0)", 7, "PC0211: there is no cell 'finger'; define it, above or below, between the lines: cell NAME ... end")]
    [InlineData("grid 1 nm", 1, "PC0220: 'grid' comes too late; move it up, before the first layer, parameter, cell and shape")]
    [InlineData("layout 1", 1, "PC0220: 'layout' stands in the first line only; remove this line")]
    [InlineData("include \"x.layout\"", 9, "PC0219: this input cannot include other files; read the drawing from a file instead of a stream")]
    public void Shapes_and_blocks(string line, int column, string message) => AssertLine(line, column, message);

    [Theory]
    [InlineData(
        "layout 1\nlayer a\ndot on a at (1, 0)\n",
        "chip.layout:3:14: error PC0207: this length has no unit; write one after the number (pm, nm, um, mm, cm, m, mil or in), or set a default near the top with: unit um\n    dot on a at (1, 0)\n                 ^")]
    [InlineData(
        Head + "cell a\nend\ncell a\nend\n",
        "chip.layout:6:6: error PC0212: cell 'a' is defined twice, first at chip.layout:4:6; rename one of them\n    cell a\n         ^")]
    [InlineData(
        Head + "cell a\n place a at (0, 0)\nend\n",
        "chip.layout:5:8: error PC0213: cell 'a' places itself; remove one of these placements\n     place a at (0, 0)\n           ^")]
    [InlineData(
        Head + "cell a\n place b at (0, 0)\nend\ncell b\n place c at (0, 0)\nend\ncell c\n place a at (0, 0)\nend\n",
        "chip.layout:11:8: error PC0213: cells place each other in a circle: a > b > c > a; remove one of these placements\n     place a at (0, 0)\n           ^")]
    [InlineData(
        Head + "cell fingers\nend\nplace finger at (0, 0)\n",
        "chip.layout:6:7: error PC0211: there is no cell 'finger'; did you mean 'fingers'?\n    place finger at (0, 0)\n          ^")]
    [InlineData(
        Head + "cell a\ncell b\n",
        "chip.layout:5:1: error PC0215: a cell cannot be defined inside 'cell'; define it at the top level\n    cell b\n    ^")]
    [InlineData(
        Head + "repeat 2\ncell b\n",
        "chip.layout:5:1: error PC0215: a cell cannot be defined inside 'repeat'; move it to the top level\n    cell b\n    ^")]
    [InlineData(
        Head + "let a = 1\nlet a = 2\n",
        "chip.layout:5:5: error PC0212: parameter 'a' is defined twice; a parameter keeps its value: choose another name\n    let a = 2\n        ^")]
    [InlineData(
        Head + "cell drawing\nend\n",
        "chip.layout:4:6: error PC0212: cell 'drawing' has the name of the drawing itself; rename the cell, or name the drawing near the top with: drawing NAME")]
    [InlineData(
        Head + "repeat 2147483647\nrepeat 2147483647\ndot on pads at (0, 0)\nend\nend\n",
        "chip.layout:4:1: error PC0218: more than 2000000 statements are repeated; make it a cell and place it with: array NAME at (0, 0) columns ... column-step ...; or raise 'limits: expansion' in the job\n    repeat 2147483647\n    ^")]
    [InlineData(
        "layout 1\nunit um\ngrid 0.5 pm\n",
        "chip.layout:3:6: error PC0209: a grid step is a whole number of picometres, from 0.001 nm to 1000000 nm\n    grid 0.5 pm\n         ^")]
    [InlineData(
        "layout 1\nunit inch\n",
        "chip.layout:2:6: error PC0204: expected a unit of length (pm, nm, um, mm, cm, m, mil or in), found 'inch'\n    unit inch\n         ^")]
    [InlineData(
        "layout 1\nunit um\nunit nm\n",
        "chip.layout:3:1: error PC0220: 'unit' is given twice; keep one of them\n    unit nm\n    ^")]
    public void Whole_documents(string text, string expected) => Assert.Equal(expected, LayoutText.Error(text));

    [Fact]
    public void A_parameter_given_from_outside_must_exist()
    {
        var options = new DrawingOptions { Parameters = ImmutableSortedDictionary<string, string>.Empty.Add("pich", "3 um") };
        Assert.Equal(
            "chip.layout: error PC0216: a value is given for 'pich', but no 'let' at the top level defines it; did you mean 'pitch'?",
            LayoutText.Error(Head + "let pitch = 2 um\n", options));
        options = options with { Parameters = options.Parameters.Clear().Add("pitch", "3 uum") };
        Assert.Equal(
            "value of pitch:1:3: error PC0204: expected the end of the line after the formula, found 'uum'\n    3 uum\n      ^",
            LayoutText.Error(Head + "let pitch = 2 um\n", options));
    }

    [Fact]
    public void Includes_fail_with_a_reason()
    {
        DrawingOptions With(string? content) => new()
        {
            OpenInclude = (name, _) => content is null ? null : new IncludedFile(new MemoryStream(System.Text.Encoding.UTF8.GetBytes(content)), name),
        };
        Assert.Equal(
            "chip.layout:4:9: error PC0219: there is no file 'x.layout' to include; the name counts from the folder of this file\n    include \"x.layout\"\n            ^",
            LayoutText.Error(Head + "include \"x.layout\"\n", With(null)));
        Assert.Equal(
            "x.layout:2:1: error PC0218: files include each other more than 16 deep; does a file include itself?\n    include \"x.layout\"\n    ^",
            LayoutText.Error(Head + "include \"x.layout\"\n", With("layout 1\ninclude \"x.layout\"\n")));
        Assert.Equal(
            "x.layout:2:1: error PC0219: this grid differs from that of the drawing that includes the file; write: grid 0.1 nm\n    grid 1 nm\n    ^",
            LayoutText.Error(Head + "include \"x.layout\"\n", With("layout 1\ngrid 1 nm\n")));
        Assert.Equal(
            "x.layout:2:1: error PC0215: this 'cell' is never ended; add a line: end\n    cell a\n    ^",
            LayoutText.Error(Head + "include \"x.layout\"\n", With("layout 1\ncell a\n")));
    }

    [Fact]
    public void A_formula_nested_without_end_stops()
    {
        string error = LayoutText.Error(Head + "let a = " + new string('(', 100_000));
        Assert.StartsWith("chip.layout:4:109: error PC0218: this formula is nested more than 100 deep; split it with: let name = ...\n", error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_line_without_end_stops()
    {
        var endless = new EndlessStream("layout 1\n"u8.ToArray());
        string error = Assert.Throws<CompileException>(() => LayoutReader.Read(endless, "-", DrawingOptions.Default, new DiagnosticSink())).Diagnostic.ToString();
        Assert.Equal("-:2: error PC0218: a line is longer than 16 MiB; write the points of a shape over several lines, each starting with a point; or raise 'limits: text' in the job", error);
    }

    [Fact]
    public void Cells_nested_ten_thousand_deep_are_read()
    {
        string cells = string.Concat(Enumerable.Range(0, 10_000).Select(i => $"cell c{i}\nplace c{i + 1} at (0, 0)\nend\n"));
        Assert.Equal(10_002, LayoutText.Read(Head + cells + "cell c10000\nend\n").Cells.Length);
    }
}
