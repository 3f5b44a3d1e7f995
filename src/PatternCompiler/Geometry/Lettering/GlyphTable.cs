using System.Collections.Frozen;
using System.Collections.Immutable;

namespace PatternCompiler.Geometry.Lettering;

/// <summary>
/// The drawn letters: each glyph is a few polylines on a small whole-number cell, y up, the baseline at 0. Capitals and
/// digits stand <see cref="StrokeLettering.CapHeight"/> high, small letters 8, descenders reach down to −4. Digits are
/// all 7 wide, so that columns of numbers line up.
/// </summary>
internal static class GlyphTable
{
    /// <summary>Drawn for a character without a glyph: an upright box with a bar.</summary>
    public static readonly Glyph Missing = Parse("0,0 6,0 6,12 0,12 0,0;0,6 6,6");

    // Polylines are parted by semicolons, points by spaces. Two codes are in use for the micro sign.
    private static readonly FrozenDictionary<char, Glyph> Glyphs = new Dictionary<char, Glyph>
    {
        [' '] = new Glyph([], 3),
        ['!'] = Parse("1,12 1,4;1,1 1,0"),
        ['"'] = Parse("0,12 0,9;3,12 3,9"),
        ['#'] = Parse("2,1 3,11;6,1 7,11;0,4 8,4;1,8 9,8"),
        ['$'] = Parse("8,9 6,11 2,11 0,9 0,8 2,6 6,6 8,4 8,3 6,1 2,1 0,3;4,13 4,-1"),
        ['%'] = Parse("0,0 8,12;0,11 1,12 2,12 3,11 3,9 2,8 1,8 0,9 0,11;5,3 6,4 7,4 8,3 8,1 7,0 6,0 5,1 5,3"),
        ['&'] = Parse("9,0 2,8 1,10 2,12 4,12 5,10 4,8 1,5 0,3 0,2 2,0 5,0 7,2 8,5"),
        ['\''] = Parse("1,12 1,9"),
        ['('] = Parse("3,13 1,11 0,8 0,4 1,1 3,-1"),
        [')'] = Parse("0,13 2,11 3,8 3,4 2,1 0,-1"),
        ['*'] = Parse("3,10 3,4;0,9 6,5;0,5 6,9"),
        ['+'] = Parse("4,10 4,2;0,6 8,6"),
        [','] = Parse("2,1 2,0 1,-2"),
        ['-'] = Parse("0,6 6,6"),
        ['.'] = Parse("1,0 2,0 2,1 1,1 1,0"),
        ['/'] = Parse("0,-1 6,13"),
        ['0'] = Parse("2,0 5,0 7,2 7,10 5,12 2,12 0,10 0,2 2,0"),
        ['1'] = Parse("1,9 4,12 4,0;1,0 7,0"),
        ['2'] = Parse("0,10 2,12 5,12 7,10 7,7 0,0 7,0"),
        ['3'] = Parse("0,11 1,12 5,12 7,10 7,8 5,6 2,6;5,6 7,4 7,2 5,0 1,0 0,1"),
        ['4'] = Parse("5,0 5,12 0,4 7,4"),
        ['5'] = Parse("6,12 0,12 0,7 5,7 7,5 7,2 5,0 1,0 0,1"),
        ['6'] = Parse("6,12 4,12 1,9 0,6 0,2 2,0 5,0 7,2 7,5 5,7 2,7 0,5"),
        ['7'] = Parse("0,12 7,12 2,0"),
        ['8'] = Parse("2,6 0,8 0,10 2,12 5,12 7,10 7,8 5,6 2,6 0,4 0,2 2,0 5,0 7,2 7,4 5,6"),
        ['9'] = Parse("1,0 3,0 6,3 7,6 7,10 5,12 2,12 0,10 0,7 2,5 5,5 7,7"),
        [':'] = Parse("1,0 2,0 2,1 1,1 1,0;1,7 2,7 2,8 1,8 1,7"),
        [';'] = Parse("2,1 2,0 1,-2;1,7 2,7 2,8 1,8 1,7"),
        ['<'] = Parse("6,10 0,6 6,2"),
        ['='] = Parse("0,8 7,8;0,4 7,4"),
        ['>'] = Parse("0,10 6,6 0,2"),
        ['?'] = Parse("0,10 2,12 5,12 7,10 7,8 4,6 4,4;4,1 4,0"),
        ['@'] = Parse("7,4 7,8 4,8 3,7 3,5 4,4 7,4 8,3 9,4 9,9 7,12 3,12 0,9 0,3 3,0 8,0"),
        ['A'] = Parse("0,0 4,12 8,0;1,4 7,4"),
        ['B'] = Parse("0,6 6,6 8,4 8,2 6,0 0,0 0,12 5,12 7,10 7,8 5,6"),
        ['C'] = Parse("8,10 6,12 3,12 0,9 0,3 3,0 6,0 8,2"),
        ['D'] = Parse("0,0 0,12 5,12 8,9 8,3 5,0 0,0"),
        ['E'] = Parse("7,12 0,12 0,0 7,0;0,6 6,6"),
        ['F'] = Parse("7,12 0,12 0,0;0,6 6,6"),
        ['G'] = Parse("8,10 6,12 3,12 0,9 0,3 3,0 6,0 8,2 8,6 5,6"),
        ['H'] = Parse("0,0 0,12;8,0 8,12;0,6 8,6"),
        ['I'] = Parse("0,0 4,0;2,0 2,12;0,12 4,12"),
        ['J'] = Parse("0,2 2,0 4,0 6,2 6,12"),
        ['K'] = Parse("0,0 0,12;7,12 0,5;3,8 8,0"),
        ['L'] = Parse("0,12 0,0 7,0"),
        ['M'] = Parse("0,0 0,12 4,5 8,12 8,0"),
        ['N'] = Parse("0,0 0,12 8,0 8,12"),
        ['O'] = Parse("3,0 6,0 9,3 9,9 6,12 3,12 0,9 0,3 3,0"),
        ['P'] = Parse("0,0 0,12 6,12 8,10 8,8 6,6 0,6"),
        ['Q'] = Parse("3,0 6,0 9,3 9,9 6,12 3,12 0,9 0,3 3,0;6,3 9,-1"),
        ['R'] = Parse("0,0 0,12 6,12 8,10 8,8 6,6 0,6;4,6 8,0"),
        ['S'] = Parse("8,10 6,12 2,12 0,10 0,8 2,6 6,6 8,4 8,2 6,0 2,0 0,2"),
        ['T'] = Parse("0,12 8,12;4,12 4,0"),
        ['U'] = Parse("0,12 0,3 3,0 5,0 8,3 8,12"),
        ['V'] = Parse("0,12 4,0 8,12"),
        ['W'] = Parse("0,12 2,0 5,9 8,0 10,12"),
        ['X'] = Parse("0,0 8,12;0,12 8,0"),
        ['Y'] = Parse("0,12 4,6 8,12;4,6 4,0"),
        ['Z'] = Parse("0,12 8,12 0,0 8,0"),
        ['['] = Parse("3,13 0,13 0,-1 3,-1"),
        ['\\'] = Parse("0,13 6,-1"),
        [']'] = Parse("0,13 3,13 3,-1 0,-1"),
        ['^'] = Parse("0,9 3,12 6,9"),
        ['_'] = Parse("0,-2 8,-2"),
        ['`'] = Parse("0,12 2,10"),
        ['a'] = Parse("0,7 1,8 4,8 6,6 6,0;6,5 2,5 0,3 0,2 2,0 4,0 6,2"),
        ['b'] = Parse("0,12 0,0;0,2 2,0 4,0 6,2 6,6 4,8 2,8 0,6"),
        ['c'] = Parse("6,7 5,8 2,8 0,6 0,2 2,0 5,0 6,1"),
        ['d'] = Parse("6,12 6,0;6,2 4,0 2,0 0,2 0,6 2,8 4,8 6,6"),
        ['e'] = Parse("0,4 6,4 6,6 4,8 2,8 0,6 0,2 2,0 5,0 6,1"),
        ['f'] = Parse("5,12 4,12 2,10 2,0;0,8 5,8"),
        ['g'] = Parse("6,8 6,-2 4,-4 2,-4 0,-3;6,2 4,0 2,0 0,2 0,6 2,8 4,8 6,6"),
        ['h'] = Parse("0,12 0,0;0,6 2,8 4,8 6,6 6,0"),
        ['i'] = Parse("0,8 1,8 1,0;1,12 1,11"),
        ['j'] = Parse("3,8 3,-2 1,-4 0,-4;3,12 3,11"),
        ['k'] = Parse("0,12 0,0;6,8 0,2;3,5 6,0"),
        ['l'] = Parse("0,12 0,2 2,0 3,0"),
        ['m'] = Parse("0,8 0,0;0,6 2,8 3,8 5,6 5,0;5,6 7,8 8,8 10,6 10,0"),
        ['n'] = Parse("0,8 0,0;0,6 2,8 4,8 6,6 6,0"),
        ['o'] = Parse("2,0 4,0 6,2 6,6 4,8 2,8 0,6 0,2 2,0"),
        ['p'] = Parse("0,8 0,-4;0,2 2,0 4,0 6,2 6,6 4,8 2,8 0,6"),
        ['q'] = Parse("6,8 6,-4;6,2 4,0 2,0 0,2 0,6 2,8 4,8 6,6"),
        ['r'] = Parse("0,8 0,0;0,5 3,8 5,8"),
        ['s'] = Parse("6,7 5,8 1,8 0,7 0,5 1,4 5,4 6,3 6,1 5,0 1,0 0,1"),
        ['t'] = Parse("2,11 2,2 4,0 5,0;0,8 5,8"),
        ['u'] = Parse("0,8 0,2 2,0 4,0 6,2;6,8 6,0"),
        ['v'] = Parse("0,8 3,0 6,8"),
        ['w'] = Parse("0,8 2,0 4,6 6,0 8,8"),
        ['x'] = Parse("0,8 6,0;0,0 6,8"),
        ['y'] = Parse("0,8 3,0;6,8 3,0 1,-4 0,-4"),
        ['z'] = Parse("0,8 6,8 0,0 6,0"),
        ['{'] = Parse("4,13 2,12 2,8 0,6 2,4 2,0 4,-1"),
        ['|'] = Parse("1,13 1,-1"),
        ['}'] = Parse("0,13 2,12 2,8 4,6 2,4 2,0 0,-1"),
        ['~'] = Parse("0,5 2,7 3,7 5,5 6,5 8,7"),
        ['\u00B0'] = Parse("1,8 3,8 4,9 4,11 3,12 1,12 0,11 0,9 1,8"),
        ['\u00B1'] = Parse("4,11 4,3;0,7 8,7;0,0 8,0"),
        ['\u00B2'] = Parse("0,11 1,12 3,12 4,11 4,10 0,6 4,6"),
        ['\u00B5'] = Parse("0,8 0,-4;0,2 2,0 4,0 6,2;6,8 6,0"),
        ['\u00B7'] = Parse("1,5 2,5 2,6 1,6 1,5"),
        ['\u03C3'] = Parse("7,8 2,8 0,6 0,2 2,0 4,0 6,2 6,6 4,8"),
        ['\u00D7'] = Parse("0,3 6,9;0,9 6,3"),
        ['\u03BC'] = Parse("0,8 0,-4;0,2 2,0 4,0 6,2;6,8 6,0"),
    }.ToFrozenDictionary();

    /// <summary>The glyph of a character, or null.</summary>
    public static Glyph? Find(char character) => Glyphs.TryGetValue(character, out Glyph? glyph) ? glyph : null;

    /// <summary>Every character that has a glyph, in code order.</summary>
    public static ImmutableArray<char> Characters => [.. Glyphs.Keys.Order()];

    private static Glyph Parse(string drawing)
    {
        ImmutableArray<ImmutableArray<GridPoint>> strokes =
            [.. drawing.Split(';').Select(stroke => stroke.Split(' ').Select(ParsePoint).ToImmutableArray())];
        return new Glyph(strokes, strokes.Max(stroke => stroke.Max(point => point.X)));
    }

    private static GridPoint ParsePoint(string point)
    {
        int comma = point.IndexOf(',', StringComparison.Ordinal);
        return new GridPoint(ParseInteger(point.AsSpan(0, comma)), ParseInteger(point.AsSpan(comma + 1)));
    }

    private static int ParseInteger(ReadOnlySpan<char> digits) =>
        Units.NumberText.TryParseInteger(digits, out long value)
            ? (int)value
            : throw new InvalidOperationException($"The glyph table holds '{digits}' where a number is due.");
}

/// <summary>One drawn character.</summary>
/// <param name="Strokes">Polylines of two points or more on the glyph cell.</param>
/// <param name="Width">Room it takes on the line, without the gap to its neighbour.</param>
internal sealed record Glyph(ImmutableArray<ImmutableArray<GridPoint>> Strokes, int Width);
