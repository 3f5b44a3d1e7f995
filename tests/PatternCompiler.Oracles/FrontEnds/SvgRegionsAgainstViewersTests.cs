using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Svg;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Tests;
using SkiaSharp;

namespace PatternCompiler.Oracles.FrontEnds;

/// <summary>
/// What two independent viewers draw (librsvg, Chromium) covers what we expose: drawings of 100 × 100 units, each compared in
/// 16 squares. A page holds many drawings, drawn at once.
/// </summary>
public sealed class SvgRegionsAgainstViewersTests
{
    private const int Squares = 4;

    /// <summary>Features that both viewers have.</summary>
    private static readonly string[] Common =
    [
        // Viewports inside the page, and what they cut.
        "<svg x='10' y='10' width='20' height='20'><rect width='60' height='5'/></svg>",
        "<svg x='10' y='10' width='20' height='20' overflow='visible'><rect width='60' height='5'/></svg>",
        "<svg x='10' y='10' width='40' height='20' viewBox='0 0 10 10'><circle cx='5' cy='5' r='9'/></svg>",
        "<svg x='10' y='10' width='40' height='20' viewBox='0 0 10 10' preserveAspectRatio='xMinYMin slice'><circle cx='5' cy='5' r='4'/></svg>",
        "<svg x='10' y='10' width='40' height='20' viewBox='0 0 10 10' preserveAspectRatio='xMaxYMid meet'><rect x='2' width='20' height='10'/></svg>",
        "<svg x='10' y='10' width='40' height='60' viewBox='-5 -5 10 10' preserveAspectRatio='none'><rect x='-1' y='-9' width='2' height='18'/></svg>",
        "<g transform='rotate(30 50 50)'><svg x='30' y='30' width='40' height='30'><circle cx='20' cy='15' r='21'/></svg></g>",
        "<svg x='10' y='10' width='60' height='60'><svg x='20' y='20' width='60' height='60'><rect x='-5' y='-5' width='90' height='90'/></svg></svg>",
        "<svg x='10%' y='20%' width='50%' height='50%'><rect width='50%' height='50%'/><circle cx='100%' cy='100%' r='20%'/></svg>",
        "<svg x='10' y='10' width='50' height='50'><path d='M-10 25C20 -40 30 90 60 25' fill='none' stroke='#000' stroke-width='12'/></svg>",
        "<svg x='10' y='10' width='50' height='50'><path fill-rule='evenodd' d='M-10 0h40v40h-40zM0 10h20v20h-20z'/></svg>",

        // Copies.
        "<defs><symbol id='s' viewBox='0 0 10 10'><circle cx='5' cy='5' r='5'/></symbol></defs><use href='#s'/>",
        "<defs><g id='s' transform='scale(2)'><rect x='5' width='10' height='5'/></g></defs><use href='#s' x='10' y='20' width='4' height='2' transform='rotate(20)'/>",
        "<defs><svg id='s' x='5' y='5' width='20' height='20'><rect width='60' height='5'/></svg></defs><use href='#s' x='10' y='20'/>",

        // Cascade and transparency.
        "<style>.a{fill:none !important} #b{fill:black}</style><rect class='a' id='b' width='40' height='40'/><rect class='a' x='20' width='40' height='90' style='fill:#000'/>",
        "<style>.a{fill:#000} .b{fill:none}</style><rect class='b a' width='40' height='40'/><rect x='60' width='30' height='30'/>",
        "<style>g &gt; rect{fill:none} rect + rect{fill:#000}</style><g><rect width='40' height='40'/><rect x='60' y='60' width='30' height='30'/></g>",
        "<rect width='40' height='40' fill='#00000000'/><rect x='60' width='30' height='30' fill='rgba(0,0,0,0)'/><rect y='60' width='30' height='30' fill='transparent'/>",
        "<g opacity='0'><rect width='40' height='40'/></g><rect x='60' width='30' height='30' fill-opacity='0' stroke='#000' stroke-width='6'/>",
        "<g visibility='hidden'><rect width='40' height='40'/><rect x='60' visibility='visible' width='30' height='30'/></g>",
        "<g fill='currentColor' color='#000' stroke='currentColor'><rect width='40' height='40' color='transparent'/><rect x='60' width='30' height='30'/></g>",

        // Conditions.
        "<switch><g requiredExtensions='urn:x'><rect width='10' height='10'/></g><g><rect width='50' height='50'/></g><rect width='90' height='90'/></switch>",
        "<switch><foreignObject requiredExtensions='urn:x' width='1' height='1'/><g><rect width='50' height='50'/></g></switch>",

        // Ends and corners of curved strokes.
        "<path d='M20 50A20 20 0 0 1 60 50' fill='none' stroke='#000' stroke-width='16'/>",
        "<path d='M20 50A20 20 0 0 1 60 50' fill='none' stroke='#000' stroke-width='16' stroke-linecap='square'/>",
        "<path d='M20 50A20 20 0 0 1 60 50L60 90' fill='none' stroke='#000' stroke-width='16' stroke-linejoin='bevel'/>",
        "<path d='M20 50A20 20 0 0 1 60 50L90 50' fill='none' stroke='#000' stroke-width='16'/>",
        "<path d='M20 50A20 20 0 0 1 60 50L90 20z' fill='none' stroke='#000' stroke-width='8' stroke-linejoin='round'/>",
        "<path d='M20 80C20 10 80 10 80 80' fill='none' stroke='#000' stroke-width='30'/>",
        "<path d='M20 50C20 50 50 0 80 50Q80 80 50 80' fill='none' stroke='#000' stroke-width='10' stroke-miterlimit='20'/>",
        "<path d='M20 20h40v40h-40v-40' fill='none' stroke='#000' stroke-width='20'/>",
        "<path d='M20 20h40v40h-40z' fill='none' stroke='#000' stroke-width='20'/>",
        "<path d='M50 50z' stroke='#000' stroke-width='20' stroke-linecap='square' transform='rotate(30 50 50)'/>",
        "<circle cx='50' cy='50' r='10' fill='none' stroke='#000' stroke-width='12'/>",
    ];

    /// <summary>
    /// Features that librsvg 2.54 does not have, or has otherwise than SVG 2: there symbols are cut only if their overflow is
    /// stated visible, and conditions hold in a 'switch' only.
    /// </summary>
    private static readonly string[] Recent =
    [
        "<defs><symbol id='s' viewBox='0 0 10 10'><rect width='60' height='5'/></symbol></defs><use href='#s' width='20' height='20'/>",
        "<defs><symbol id='s' viewBox='0 0 10 10'><rect width='60' height='5'/></symbol></defs><use href='#s' x='10' y='20' width='40' height='20'/>",
        "<defs><symbol id='s' viewBox='0 0 10 10' overflow='visible'><rect width='15' height='5'/></symbol></defs><use href='#s' x='10' y='20' width='40' height='20'/>",
        "<defs><symbol id='s'><rect width='60' height='5'/></symbol></defs><use href='#s' x='10' y='20' width='40' height='20'/>",
        "<rect width='90' height='90' requiredExtensions='urn:x'/><rect width='30' height='30'/>",
        "<rect x='40' y='40' width='10' height='20' transform='rotate(90)' transform-origin='45 50'/>",
        "<rect x='40' y='40' width='10' height='20' transform='rotate(40)' transform-origin='center'/>",
        "<rect x='40' y='40' width='10' height='20' transform='scale(3)' style='transform-origin: 50% 60px'/>",
        "<rect x='40' y='40' width='10' height='20' transform='scale(3)' style='transform-origin: bottom right; transform-box: fill-box'/>",
        "<path d='M20 50A20 20 0 0 1 60 50' transform='rotate(180)' style='transform-origin: 25% 100%; transform-box: fill-box'/>",
        "<svg x='10' y='10' width='50' height='50' viewBox='-10 -10 20 20'><rect x='1' y='1' width='8' height='4' transform='rotate(90)' style='transform-origin: 50% 50%'/></svg>",
        "<svg x='10' y='10' width='50' height='50'><g transform='rotate(30)' transform-origin='100% 50%'><rect width='40' height='40'/></g></svg>",
        "<defs><symbol id='s' viewBox='0 0 10 10' width='30' height='10' preserveAspectRatio='none'><rect width='10' height='10'/></symbol></defs><use href='#s'/>",
        "<defs><symbol id='s' viewBox='0 0 10 10' width='30' height='10' preserveAspectRatio='none'><rect width='10' height='10'/></symbol></defs><use href='#s' x='20' width='60'/>",
        "<defs><svg id='s' x='5' y='5' width='20' height='20'><rect width='60' height='60'/></svg></defs><use href='#s' x='10' y='20' width='50'/>",
        "<style>:is(g, a) > rect:nth-child(2 of .x){fill:none}</style><g><rect class='x' width='20' height='20'/><rect width='20' x='30' height='20'/><rect class='x' y='50' width='40' height='40'/></g>",
        "<style>rect{width:30px;height:40%;x:10px}</style><rect width='80' height='80'/>",
        "<circle cx='50' cy='50' style='r: 1cm'/>",
        "<rect width='40' height='40' fill='rgb(0 0 0 / 0%)'/><rect x='60' width='30' height='30' fill='hsl(0 0% 0% / 0)'/><rect y='60' width='30' height='30' fill='#0000'/>",
    ];

    [LibrsvgFact]
    public void Librsvg_draws_the_same_regions() => Compare([.. Common, .. Enumerable.Range(1, Iterations.Usually(60)).Select(seed => RandomDrawing(new Random(seed), isRecent: false))], 400, 0.1, ByLibrsvg);

    [ChromiumFact]
    public void Chromium_draws_the_same_regions() => Compare([.. Common, .. Recent, .. Enumerable.Range(1, Iterations.Usually(150)).Select(seed => RandomDrawing(new Random(seed), isRecent: true))], 200, 0.2, ByChromium);

    // Along an edge as long as a square's side a viewer's tones may be off by a part of a pixel.
    private static void Compare(string[] drawings, int pixels, double tone, Func<string[], int, SKBitmap[]> draw)
    {
        string[] pages = [.. drawings.Select(drawing => $"<svg xmlns='http://www.w3.org/2000/svg' width='0.1mm' height='0.1mm' viewBox='0 0 100 100'>{drawing}</svg>")];
        SKBitmap[] pictures = draw(pages, pixels);
        double covered = 0;
        var differences = new List<string>();
        for (int i = 0; i < pages.Length; i++)
        {
            ContourSet ours = Area(pages[i]);
            for (int square = 0; square < Squares * Squares; square++)
            {
                (int row, int column) = (square / Squares, square % Squares);
                int size = pixels / Squares;
                double expected = Ink(pictures[i], column * size, row * size, size) * 100 / pixels * 100 / pixels;
                double found = Within(ours, column, row);
                covered += expected;

                double allowed = 100.0 / pixels * 100 / pixels * size * tone;
                if (Math.Abs(found - expected) > allowed + (0.004 * expected))
                {
                    differences.Add($"square {row}, {column}: {found}, viewer {expected}\n{pages[i]}");
                }
            }
        }

        Array.ForEach(pictures, picture => picture.Dispose());
        Assert.True(differences.Count == 0, string.Join('\n', differences));

        Assert.True(covered > 500 * drawings.Length, $"{covered / drawings.Length} of 10000 units are covered");
    }

    private static SKBitmap[] ByChromium(string[] pages, int pixels)
    {
        int across = (int)Math.Ceiling(Math.Sqrt(pages.Length));
        var page = new StringBuilder("<!DOCTYPE html><html><body style='margin:0;background:#fff'>");
        for (int i = 0; i < pages.Length; i++)
        {
            string source = Convert.ToBase64String(Encoding.UTF8.GetBytes(pages[i]));
            page.Append(CultureInfo.InvariantCulture, $"<img style='position:absolute;left:{i % across * pixels}px;top:{i / across * pixels}px;width:{pixels}px;height:{pixels}px' src='data:image/svg+xml;base64,{source}'>");
        }

        using SKBitmap all = SKBitmap.Decode(Chromium.Picture(page.Append("</body></html>").ToString(), across * pixels, across * pixels));
        var parts = new SKBitmap[pages.Length];
        for (int i = 0; i < parts.Length; i++)
        {
            using var part = new SKBitmap();
            Assert.True(all.ExtractSubset(part, SKRectI.Create(i % across * pixels, i / across * pixels, pixels, pixels)));
            parts[i] = part.Copy();
        }

        return parts;
    }

    private static SKBitmap[] ByLibrsvg(string[] pages, int pixels)
    {
        string folder = Directory.CreateTempSubdirectory("patternc-librsvg-").FullName;
        try
        {
            string file = Path.Combine(folder, "a.svg");
            return [.. pages.Select(page =>
            {
                File.WriteAllText(file, page);
                (int exitCode, _, string errors) = OutsidePrograms.Run("rsvg-convert", "-w", $"{pixels}", "-h", $"{pixels}", "-b", "white", "-o", file + ".png", file);
                Assert.True(exitCode == 0, errors);
                return SKBitmap.Decode(file + ".png");
            })];
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    // Covered pixels: black on white.
    private static double Ink(SKBitmap picture, int left, int top, int size)
    {
        double sum = 0;
        ReadOnlySpan<byte> bytes = picture.GetPixelSpan();
        for (int y = top; y < top + size; y++)
        {
            for (int x = left; x < left + size; x++)
            {
                // Green is the second of four bytes in either order of colours.
                sum += (255 - bytes[(y * picture.RowBytes) + (4 * x) + 1]) / 255.0;
            }
        }

        return sum;
    }

    private static ContourSet Area(string page)
    {
        LayoutDocument layout = SvgReader.Read(
            new MemoryStream(Encoding.UTF8.GetBytes(page)), "a.svg", new DrawingOptions { ChordErrorNanometres = 20, GridPicometres = 1000 }, new DiagnosticSink());
        if (layout.Cells[0].Shapes.IsEmpty)
        {
            return ContourSet.Empty;
        }

        FlatLayout flat = FlattenPass.Run(layout, new FlattenOptions { ChordErrorNanometres = 20 }, new DiagnosticSink());
        var all = new ContourSetBuilder();
        foreach (FlatLayer group in flat.Groups)
        {
            all.AddAll(group.Area);
        }

        return RegionBoolean.Merge(all.ToContourSet(), FillRule.NonZero, 1, default);
    }

    private static double Within(ContourSet area, int column, int row)
    {
        const int Square = 25_000;
        (int left, int bottom) = (column * Square, (Squares - 1 - row) * Square);
        ContourSet part = RegionBoolean.Compute(
            area, ContourSet.FromRing(new(left, bottom), new(left + Square, bottom), new(left + Square, bottom + Square), new(left, bottom + Square)), BooleanOperation.Intersection);
        return Enumerable.Range(0, part.Count).Sum(i => (double)ExactArea.Twice(part[i])) / 2e6;
    }

    private static string RandomDrawing(Random random, bool isRecent)
    {
        // In copies librsvg matches selectors by SVG 1.1, Chromium by SVG 2: what stands around the original differs.
        string hidden = isRecent ? "g>.d{visibility:hidden}svg .d{opacity:0}" : ".d{opacity:0}";
        var text = new StringBuilder($"<style>.a{{fill:none;stroke:#000}}.b{{fill:#000 !important}}.c.a{{stroke-width:4}}{hidden}</style>");
        text.Append(CultureInfo.InvariantCulture, $"<defs><symbol id='s' viewBox='0 0 20 {random.Next(10, 30)}' {Aspect(random)}>{Shape(random, 20, isRecent)}</symbol><g id='t'>{Shape(random, 50, isRecent)}</g></defs>");
        text.Append("<rect x='2' y='2' width='28' height='28'/>");
        Append(text, random, 0, 100, isRecent);
        return text.ToString();
    }

    private static void Append(StringBuilder text, Random random, int depth, int size, bool isRecent)
    {
        for (int i = random.Next(1, 3); i > 0; i--)
        {
            int kind = random.Next(depth < 3 ? 6 : 2);
            int at = random.Next(size / 2);
            int extent = random.Next(size / 4, size);
            switch (kind)
            {
                case < 2:
                    text.Append(Shape(random, size, isRecent));
                    break;
                case 2:
                    text.Append(CultureInfo.InvariantCulture, $"<g {Transform(random, size, isRecent)}>");
                    Append(text, random, depth + 1, size, isRecent);
                    text.Append("</g>");
                    break;
                case 3:
                    int box = random.Next(10, 60);
                    text.Append(CultureInfo.InvariantCulture, $"<svg x='{at}' y='{random.Next(size / 2)}' width='{extent}' height='{random.Next(size / 4, size)}' {Pick(random, "", "overflow='visible'")} {(random.Next(2) == 0 ? $"viewBox='{random.Next(-9, 9)} 0 {box} {random.Next(10, 60)}' {Aspect(random)}" : "")}>");
                    Append(text, random, depth + 1, box, isRecent);
                    text.Append("</svg>");
                    break;
                case 4 when isRecent:
                    text.Append(CultureInfo.InvariantCulture, $"<use href='#s' x='{at}' y='{at / 2}' width='{extent}' height='{random.Next(size / 4, size)}' {Transform(random, size, isRecent)}/>");
                    break;
                default:
                    text.Append(CultureInfo.InvariantCulture, $"<use href='#t' x='{at}' {Transform(random, size, isRecent)} class='{Pick(random, "", "a", "d")}'/>");
                    break;
            }
        }
    }

    private static string Shape(Random random, int size, bool isRecent)
    {
        string N() => (random.Next(0, size * 10) / 10.0).ToString(CultureInfo.InvariantCulture);

        // Viewers draw chords a tenth of a pixel from a curve, and joins between them: a tip far smaller than a pixel is cut.
        string Radius() => (random.Next(size, size * 10) / 10.0).ToString(CultureInfo.InvariantCulture);
        string style = $"class='{Pick(random, "", "a", "b", "a c", "c", "d", "a b")}' stroke-width='{(random.Next(1, 30) * size / 200.0).ToString(CultureInfo.InvariantCulture)}' stroke-linecap='{Pick(random, "butt", "square", "round")}' stroke-linejoin='{Pick(random, "miter", "round", "bevel")}' {Pick(random, "", Transform(random, size, isRecent))}";
        return random.Next(5) switch
        {
            0 => $"<rect x='{N()}' y='{N()}' width='{N()}' height='{N()}' {style}/>",
            1 => $"<ellipse cx='{N()}' cy='{N()}' rx='{Radius()}' ry='{Radius()}' {style}/>",
            2 => $"<path d='M{N()} {N()}L{N()} {N()} {N()} {N()}{Pick(random, "", "z")}' fill-rule='evenodd' {style}/>",
            3 => $"<path d='M{N()} {N()}A{N()} {N()} {random.Next(90)} {random.Next(2)} {random.Next(2)} {N()} {N()}{Pick(random, "", "z", "L" + N() + " " + N())}' {style}/>",
            _ => $"<circle cx='{N()}' cy='{N()}' r='{(size * 0.2).ToString(CultureInfo.InvariantCulture)}' {style}/>",
        };
    }

    private static string Transform(Random random, int size, bool isRecent)
    {
        string transform = random.Next(4) switch
        {
            0 => $"rotate({random.Next(360)})",
            1 => $"translate({random.Next(-size / 4, size / 4)} {random.Next(-size / 4, size / 4)}) scale({random.Next(5, 15) / 10.0:0.0} {Pick(random, "1", "0.7", "-1")})".Replace(',', '.'),
            2 => $"skewX({random.Next(-30, 30)})",
            _ => $"matrix(0.8 {random.Next(-5, 5) / 10.0:0.0} 0.3 0.9 {random.Next(10)} 5)".Replace(',', '.'),
        };
        string origin = isRecent ? Pick(random, "", "transform-origin='50% 50%'", $"transform-origin='{random.Next(size)} 20%'", "style='transform-origin: right top'") : "";
        return $"transform='{transform}' {origin}";
    }

    private static string Aspect(Random random) => "preserveAspectRatio='" + Pick(random, "none", "xMidYMid", "xMinYMax slice", "xMaxYMin meet", "xMidYMin slice") + "'";

    private static string Pick(Random random, params string[] words) => words[random.Next(words.Length)];
}
