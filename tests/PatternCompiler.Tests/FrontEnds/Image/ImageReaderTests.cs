using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Image;
using PatternCompiler.Model.Layout;
using PatternCompiler.Tests.FrontEnds.Layout;

namespace PatternCompiler.Tests.FrontEnds.Image;

public sealed class ImageReaderTests
{
    private static readonly DrawingOptions Micrometre = new() { UnitNanometres = 1000 };

    private static LayoutDocument Read(byte[] file, DrawingOptions? options = null, DiagnosticSink? sink = null) =>
        ImageReader.Read(new MemoryStream(file), "a.png", options ?? Micrometre, sink ?? new());

    private static string Shapes(byte[] file, DrawingOptions? options = null)
    {
        string text = LayoutText.Print(Read(file, options));
        int end = text.IndexOf("\n\n", StringComparison.Ordinal);
        return end < 0 ? "" : text[(end + 2)..].TrimEnd();
    }

    private static string Error(byte[] file, DrawingOptions? options = null) =>
        Assert.Throws<CompileException>(() => Read(file, options)).Diagnostic.ToString();

    [Fact]
    public void Dark_pixels_become_rectangles() => Assert.Equal(
        """
        rect on image from (3, 2) to (4, 3)
        rect on image from (0, 1) to (2, 3)
        rect on image from (0, 0) to (4, 1)
        """,
        Shapes(PngFile.Grey([[0, 0, 255, 0], [0, 0, 255, 255], [0, 0, 0, 0]])));

    [Fact]
    public void The_threshold_is_a_darkness()
    {
        byte[] file = PngFile.Grey([[0, 100, 127, 128, 255]]);
        Assert.Equal("rect on image from (0, 0) to (3, 1)", Shapes(file));
        Assert.Equal("rect on image from (0, 0) to (1, 1)", Shapes(file, Micrometre with { Image = new() { Threshold = 1 } }));
        Assert.Equal("rect on image from (3, 0) to (5, 1)", Shapes(file, Micrometre with { Image = new() { ExposesLight = true } }));
    }

    [Fact]
    public void Grey_levels_become_dose_factors() => Assert.Equal(
        """
        rect on image from (0, 0) to (1, 1)
        rect on image from (1, 0) to (2, 1) dose 0.666667
        rect on image from (2, 0) to (3, 1) dose 0.333333
        """,
        Shapes(PngFile.Grey([[0, 85, 170, 255]]), Micrometre with { Image = new() { DoseLevels = 3 } }));

    // Heights: white is 1, black is 0 and one of them, what is transparent is nothing.
    [Fact]
    public void Level_zero_is_kept_where_it_is_a_height() => Assert.Equal(
        """
        rect on image from (0, 0) to (1, 1) dose 0
        rect on image from (1, 0) to (2, 1) dose 0.333333
        rect on image from (3, 0) to (4, 1)
        """,
        Shapes(
            PngFile.Rgba([[0, 0, 0, 255, 85, 85, 85, 255, 255, 255, 255, 0, 255, 255, 255, 255]]),
            Micrometre with { Image = new() { DoseLevels = 3, ExposesLight = true, KeepsZero = true } }));

    [Fact]
    public void There_are_as_many_heights_as_levels_and_none() => Assert.Equal(
        "a.png: error PC0604: there must be at most 254 levels where they are heights, of which 0 is one",
        Error(PngFile.Grey([[0]]), Micrometre with { Image = new() { DoseLevels = 255, KeepsZero = true } }));

    [Fact]
    public void Colours_count_by_their_luma_and_transparency_is_not_exposed()
    {
        // ITU-R BT.709: luma = 0.2126 R + 0.7152 G + 0.0722 B. Green alone is light, blue and red alone are dark.
        byte[] file = PngFile.Rgba([[0, 255, 0, 255, 0, 0, 255, 255, 255, 0, 0, 255, 0, 0, 0, 0, 0, 0, 0, 255]]);
        Assert.Equal("rect on image from (1, 0) to (3, 1)\nrect on image from (4, 0) to (5, 1)", Shapes(file));
        Assert.Equal("rect on image from (0, 0) to (1, 1)", Shapes(file, Micrometre with { Image = new() { ExposesLight = true } }));
    }

    [Fact]
    public void Pictures_of_one_bit_are_read() => Assert.Equal(
        "rect on image from (1, 0) to (9, 1)",
        Shapes(PngFile.Bits(10, [[0b1000_0000, 0b0100_0000]])));

    [Fact]
    public void Pixel_edges_are_rounded_once_and_shared() => Assert.Equal(
        """
        rect on image from (0, 0) to (0.0003, 0.0003) dose 0.5
        rect on image from (0.0003, 0) to (0.0007, 0.0003)
        rect on image from (0.0007, 0) to (0.001, 0.0003) dose 0.5
        """,
        Shapes(PngFile.Grey([[127, 0, 127]]), new DrawingOptions { UnitNanometres = 1.0 / 3, Image = new() { DoseLevels = 2 } }));

    [Fact]
    public void Painting_the_rectangles_gives_the_picture_back() => Gen.Select(
        Gen.Int[1, 12].SelectMany(width => Gen.Byte.Select(b => (byte)(b / 64 * 85)).Array[width].Array[1, 12]), Gen.Int[1, 3]).Sample(
        (rows, levels) =>
        {
            LayoutDocument layout = Read(PngFile.Grey(rows), new DrawingOptions { UnitNanometres = 0.1, Image = new() { DoseLevels = levels, Threshold = 0.5 } });
            double[,] painted = new double[rows.Length, rows[0].Length];
            foreach (RectangleShape r in layout.Cells[0].Shapes.Cast<RectangleShape>())
            {
                for (int y = r.YBottom; y < r.YTop; y++)
                {
                    for (int x = r.XLeft; x < r.XRight; x++)
                    {
                        Assert.Equal(0, painted[rows.Length - 1 - y, x]);
                        painted[rows.Length - 1 - y, x] = r.DoseFactor.Value;
                    }
                }
            }

            for (int y = 0; y < rows.Length; y++)
            {
                for (int x = 0; x < rows[y].Length; x++)
                {
                    double darkness = (255 - rows[y][x]) / 255.0;
                    double expected = levels == 1 ? (darkness >= 0.5 ? 1 : 0) : Math.Round(darkness * levels, MidpointRounding.AwayFromZero) / levels;
                    Assert.Equal(expected, painted[y, x], 1e-6);
                }
            }
        },
        iter: Iterations.Usually(200));

    [Fact]
    public void The_size_is_noted()
    {
        var sink = new DiagnosticSink();
        Read(PngFile.Grey([[0, 255], [0, 255]]), new DrawingOptions { UnitNanometres = 50 }, sink);
        Assert.Equal("a.png: note PC0605: 2 x 2 pixels of 50 nm become 1 rectangle, 0.1 x 0.1 um", Assert.Single(sink.Collected).ToString());
    }

    [Fact]
    public void A_picture_is_read_as_a_drawing_only_if_its_pixels_have_a_size()
    {
        byte[] file = PngFile.Grey([[0]]);
        Assert.Equal(
            "chip.dxf: error PC0601: this is a PNG picture, and the size of its pixels is not stated; say how large one is ('--unit \"100 nm\"', or 'unit' in the job) to write the picture; or export the drawing as DXF, SVG or GDSII",
            Assert.Throws<CompileException>(() => DrawingReader.Read(new MemoryStream(file), "chip.dxf", DrawingOptions.Default, new DiagnosticSink())).Diagnostic.ToString());
        LayoutDocument layout = DrawingReader.Read(new MemoryStream(file), "chip.dxf", new DrawingOptions { UnitNanometres = 100 }, new DiagnosticSink());
        Assert.Equal(1000, Assert.IsType<RectangleShape>(Assert.Single(layout.Cells[0].Shapes)).XRight);
    }

    [Fact]
    public void Damaged_pictures_are_refused()
    {
        byte[] file = PngFile.Grey([[0, 1, 2], [3, 4, 5]]);
        const string Expected = "a.png: error PC0602: this PNG picture is damaged or cut short; export the picture again";
        for (int length = 8; length < file.Length; length++)
        {
            Assert.Equal(Expected, Error(file[..length]));
        }

        Assert.Equal(Expected, Error([0x89, (byte)'P', (byte)'N', (byte)'G', 0x0D, 0x0A, 0x1A, 0x0A]));
        Assert.Equal(Expected, Error("GIF89a"u8.ToArray()));
    }

    [Fact]
    public void A_picture_that_claims_a_huge_size_is_refused_before_memory_is_used() => Assert.Equal(
        "a.png: error PC0603: this picture has 100000 x 100000 pixels, more than 64 million; cut or shrink it",
        Error(PngFile.Make(100_000, 100_000, 8, 0, [[0]])));

    [Theory]
    [InlineData(0.05, 0.5, 1, "a pixel must be one grid step wide or more")]
    [InlineData(double.NaN, 0.5, 1, "a pixel must be one grid step wide or more")]
    [InlineData(1, 0.0, 1, "the threshold must lie above 0 and up to 1")]
    [InlineData(1, 1.1, 1, "the threshold must lie above 0 and up to 1")]
    [InlineData(1, 0.5, 0, "there must be 1 to 255 dose levels")]
    [InlineData(1e9, 0.5, 1, "this picture does not fit the grid of 0.1 nm, which reaches 107374.1823 um; check the size of a pixel, or choose a coarser grid")]
    public void Options_are_checked(double pixel, double threshold, int levels, string expected) => Assert.Equal(
        "a.png: error PC0604: " + expected,
        Error(PngFile.Grey([[0]]), new DrawingOptions { UnitNanometres = pixel, Image = new() { Threshold = threshold, DoseLevels = levels } }));
}
