using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Svg;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Oracles.FrontEnds;

/// <summary>
/// The examples of the SVG specification (W3C SVG 2, chapters 9 and 10; the path data from memory), filled, against areas by
/// closed forms in square user units. Radii, sizes and areas are worked out by hand beside each.
/// </summary>
public sealed class SvgSpecificationTests
{
    // Chords lie inside curves by up to this many user units: the area is off by the length of the curves times that.
    private const double ChordError = 0.01;

    [Theory]
    // triangle01: base 200, height 200.
    [InlineData("<path d=\"M 100 100 L 300 100 L 200 300 z\"/>", 20_000, 0)]
    // cubic01: two arches with y = 300·t(1−t), x = 150·(3t² − 2t³): 0.6 · 150 · 100 each.
    [InlineData("<path d=\"M100,200 C100,100 250,100 250,200 S400,300 400,200\"/>", 18_000, 700)]
    // quad01: two parabolas, two thirds of the triangles of base 400 and height 250.
    [InlineData("<path d=\"M200,300 Q400,50 600,300 T1000,300\"/>", 200_000 / 3.0, 1200)]
    // arcs01: three quarters of a disc of radius 150, and a quarter of one.
    [InlineData("<path d=\"M300,200 h-150 a150,150 0 1,0 150,-150 z\"/>", 0.75 * Math.PI * 22_500, 900)]
    [InlineData("<path d=\"M275,175 v-150 a150,150 0 0,0 -150,150 z\"/>", 0.25 * Math.PI * 22_500, 300)]
    // arcs02: of the four arcs between (300, 100) and (200, 150) with radii 100 and 50, the two large ones, closed by their
    // chord. In units of the radii the chord runs by (1, 1): a quarter of the disc and the rest of it.
    [InlineData("<path d=\"M 300,100 a 100,50 0 0 0 -100,50 z\"/>", 5000 * ((Math.PI / 4) - 0.5), 250)]
    [InlineData("<path d=\"M 300,100 a 100,50 0 1 0 -100,50 z\"/>", 5000 * ((0.75 * Math.PI) + 0.5), 500)]
    // polygon01: the hexagon between (850, 75) and (850, 325), its corners rounded to tenths.
    [InlineData("<polygon points=\"850,75 958,137.5 958,262.5 850,325 742,262.6 742,137.5\"/>", 40_505.4, 0)]
    // rect01, rect02 (rounded by 50: the corners lack (4 − π)·r²), circle01, ellipse01.
    [InlineData("<rect x=\"400\" y=\"100\" width=\"400\" height=\"200\"/>", 80_000, 0)]
    [InlineData("<rect x=\"100\" y=\"100\" width=\"400\" height=\"200\" rx=\"50\"/>", 80_000 - ((4 - Math.PI) * 2500), 400)]
    [InlineData("<circle cx=\"600\" cy=\"200\" r=\"100\"/>", Math.PI * 10_000, 700)]
    [InlineData("<g transform=\"translate(900 200)\"><g transform=\"rotate(-30)\"><ellipse rx=\"250\" ry=\"100\"/></g></g>", Math.PI * 25_000, 1200)]
    // The same triangle by relative commands, by H and V, and with everything run together.
    [InlineData("<path d=\"m100 100h200l-100 200z\"/>", 20_000, 0)]
    [InlineData("<path d=\"M100-100H300L200 100z\"/>", 20_000, 0)]
    public void Examples_cover_what_they_should(string content, double expected, double curves)
    {
        // 1200 units on 1.2 mm: a unit is a micrometre, which is 10 steps of 100 nm and 10,000 of 0.1 nm.
        string text = $"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1.2mm\" height=\"1.2mm\" viewBox=\"0 0 1200 1200\">{content}</svg>";
        LayoutDocument layout = SvgReader.Read(
            new MemoryStream(Encoding.UTF8.GetBytes(text)), "a.svg", new DrawingOptions { ChordErrorNanometres = ChordError * 1000 }, new DiagnosticSink());
        FlatLayout flat = FlattenPass.Run(layout, new FlattenOptions { ChordErrorNanometres = ChordError * 1000 }, new DiagnosticSink());
        ContourSet area = Assert.Single(flat.Groups).Area;
        double found = Enumerable.Range(0, area.Count).Sum(i => (double)ExactArea.Twice(area[i])) / 2e8;
        Assert.Equal(expected, found, (curves * ChordError) + 1e-3);
    }
}
