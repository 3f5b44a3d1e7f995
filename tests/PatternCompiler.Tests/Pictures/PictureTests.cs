using System.Buffers.Binary;
using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using System.Xml.Linq;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Pictures;
using PatternCompiler.Units;
using SkiaSharp;

namespace PatternCompiler.Tests.Pictures;

public class PictureTests
{
    private static readonly RecordsHeader Header = new(
        "teaching-sem",
        new Dac(12, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode),
        1e7, 5, 1_000_000, 25, -25, false);

    [Fact]
    public void A_scene_gives_the_same_svg_under_any_culture_and_it_is_well_formed()
    {
        Scene scene = FiguresPicture.Compose(Chip(), new PictureOptions { Title = "a <b> & \"c\"" });
        string first = Svg(scene);
        CultureInfo before = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = new CultureInfo("") { NumberFormat = { NumberDecimalSeparator = ",", NegativeSign = "~" } };
            Assert.Equal(first, Svg(FiguresPicture.Compose(Chip(), new PictureOptions { Title = "a <b> & \"c\"" })));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }

        XElement root = XDocument.Parse(first).Root!;
        XNamespace svg = "http://www.w3.org/2000/svg";
        Assert.Equal("a <b> & \"c\" · figures", root.Element(svg + "title")!.Value);
        Assert.Equal("4 figures · 2 layers · 20 × 10 µm", root.Element(svg + "desc")!.Value);
    }

    [Fact]
    public void A_square_is_drawn_where_the_axes_say()
    {
        var document = new FiguresDocument(
            new FiguresHeader(1000, ["pad"]),
            [Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(-1000, -500, 1000, 500))]);
        Scene scene = FiguresPicture.Compose(document, new PictureOptions());
        SKBitmap picture = Png(scene);
        Assert.Equal((scene.Frame.Width, scene.Frame.Height), (picture.Width, picture.Height));
        Assert.NotEqual(SKColors.White, At(0, 0));
        Assert.NotEqual(SKColors.White, At(-990, 490));
        Assert.Equal(SKColors.White, At(-1010, 130));
        Assert.Equal(SKColors.White, At(130, 510));

        SKColor At(double x, double y) => picture.GetPixel((int)scene.Frame.PixelX(x), (int)scene.Frame.PixelY(y));
    }

    [Fact]
    public void A_transposed_trapezoid_lies_on_its_side()
    {
        Trapezoid wedge = new(0, 100, new(new(0, 0), new(40, 100)), new(new(100, 0), new(60, 100)));
        Scene scene = FiguresPicture.Compose(
            new FiguresDocument(new FiguresHeader(1000, ["a"]), [Figure.FromTrapezoid(0, DoseFactor.One, wedge, isTransposed: true)]),
            new PictureOptions());
        ScenePath area = scene.Batches.Single(batch => batch.Role == SceneRole.Area).Path;
        Assert.Equal(
            [new ScenePoint(100, 40), new ScenePoint(100, 60), new ScenePoint(0, 100), new ScenePoint(0, 0)],
            area[0].ToArray());
    }

    [Fact]
    public void Dose_factors_that_differ_get_tints_and_a_scale()
    {
        Scene plain = FiguresPicture.Compose(Chip(), new PictureOptions());
        Assert.Null(plain.TintScale);

        FiguresDocument chip = Chip();
        var figures = chip.Figures.ToList();
        figures[0] = figures[0] with { DoseFactor = DoseFactor.FromValue(1.5) };
        Scene dosed = FiguresPicture.Compose(chip with { Figures = figures }, new PictureOptions());
        Assert.Equal(new TintScale("dose factor", "1", "1.5", 0), dosed.TintScale);
        Assert.Equal(2, dosed.Batches.Where(b => b.Role == SceneRole.Area).Select(b => b.Tint).Distinct().Count());
    }

    [Fact]
    public void A_layout_shows_areas_lines_and_dots_of_its_layers()
    {
        var layout = new FlatLayout(
            100,
            ["pads", "wires"],
            [
                new FlatLayer(0, DoseFactor.One, ContourSet.FromRing(new(0, 0), new(1000, 0), new(1000, 1000)), [], []),
                new FlatLayer(1, DoseFactor.One, ContourSet.Empty, [[new(0, 0), new(500, 500), new(0, 900)]], [new(-20, 30)]),
            ]);
        Scene scene = LayoutPicture.Compose(layout, new PictureOptions { Title = "chip" });
        Assert.Equal("chip · layout", scene.Title);
        Assert.Equal("1 outline · 1 line · 1 dot · 2 layers · 102 × 100 nm", scene.Facts);
        Assert.Equal(["pads (1)", "wires (2)"], scene.Legend.Select(entry => entry.Text));
        Assert.Equal(
            [(SceneRole.Area, 0), (SceneRole.Outline, 0), (SceneRole.Line, 1), (SceneRole.Dot, 1)],
            scene.Batches.Select(batch => (batch.Role, batch.Hue)));
    }

    [Fact]
    public void Strokes_show_jumps_apart_from_exposures_and_their_charge_as_tint()
    {
        var picture = new StrokesPicture(new PictureOptions { Title = "s" });
        picture.Begin(new StrokesHeader(["a"]));
        picture.Write(
        [
            Stroke.Jump(0, 0, 0),
            Stroke.Line(0, 0, 0, 90_000_000, 0, 10, 20_000_000),
            Stroke.Jump(1, 0, 50_000_000),
            Stroke.Dot(1, 0, 50_000_000, 3_000_000),
        ]);
        picture.End();
        Scene scene = picture.Compose();
        Assert.Equal("1 line · 1 dot · 11 points · 2 jumps · 90 × 50 nm · charge 23 fC", scene.Facts);
        Assert.Equal(new TintScale("charge per point", "2 fC", "3 fC", 0), scene.TintScale);
        ScenePath jumps = scene.Batches.Single(batch => batch.Role == SceneRole.Jump).Path;
        Assert.Equal([new ScenePoint(90, 0), new ScenePoint(0, 50)], jumps[0].ToArray());
        Assert.Equal(1, jumps.Count);
        Assert.Equal(11, scene.Batches.Where(batch => batch.Role == SceneRole.Dot).Sum(batch => batch.Path.Count));
    }

    [Fact]
    public void Records_stand_on_the_raster_of_their_dac_with_axes_as_the_header_says()
    {
        RecordsPicture picture = Records(
            new PictureOptions(), Header, DeflectionRecord.Jump(2048, 2048, 9), DeflectionRecord.Line(2048, 2048, 2068, 2050, 3, 30));
        Scene scene = picture.Compose();
        Assert.Equal([new ScenePoint(0, 0), new ScenePoint(500, -50)], scene.Batches.Single(b => b.Role == SceneRole.Line).Path[0].ToArray());
        Assert.Equal(25, scene.CodeRaster!.StepXNanometres);
        Assert.Equal("1 line · 3 points · 1 jump · 500 × 50 nm · beam on for 3 µs · teaching-sem, 12 bits, 25 nm per code", scene.Facts);

        Scene swapped = Records(new PictureOptions(), Header with { AxesAreSwapped = true }, DeflectionRecord.Line(2048, 2048, 2068, 2050, 3, 30)).Compose();
        Assert.Equal([new ScenePoint(0, 0), new ScenePoint(-50, 500)], swapped.Batches.Single(b => b.Role == SceneRole.Line).Path[0].ToArray());
    }

    [Fact]
    public void The_raster_is_left_out_where_a_code_is_too_narrow_to_see()
    {
        Scene wide = Records(new PictureOptions(), Header, DeflectionRecord.Line(0, 0, 4095, 4095, 4096, 40960)).Compose();
        Assert.Null(wide.CodeRaster);
        Scene near = Records(
            new PictureOptions { Window = new PictureWindow(0, 0, 1000) }, Header, DeflectionRecord.Line(0, 0, 4095, 4095, 4096, 40960)).Compose();
        Assert.NotNull(near.CodeRaster);
        Assert.Contains(near.Legend, entry => entry.Role == SceneRole.Raster);
    }

    [Fact]
    public void Of_many_jumps_the_longest_are_drawn_and_the_picture_says_so()
    {
        // Short jumps but for every hundredth, which crosses the field and comes back.
        var picture = new RecordsPicture(new PictureOptions());
        picture.Begin(Header);
        for (int i = 0; i < 50_000; i++)
        {
            int x = i % 100 == 50 ? 4095 : i / 100;
            picture.Write([DeflectionRecord.Jump(x, i % 100, 5), DeflectionRecord.Dot(x, i % 100, 7)]);
        }

        picture.End();
        Scene scene = picture.Compose();
        ScenePath jumps = scene.Batches.Single(batch => batch.Role == SceneRole.Jump).Path;
        Assert.Equal(1200, jumps.Count);
        int far = 0;
        for (int i = 0; i < jumps.Count; i++)
        {
            far += Math.Abs(jumps[i][0].X - jumps[i][1].X) > 0.8 * scene.Frame.View.Width ? 1 : 0;
        }

        Assert.Equal(1000, far);
        Assert.Equal("Of 49 999 jumps the 1200 longest are drawn.", Assert.Single(scene.Notes));
    }

    [Fact]
    public void A_bare_picture_is_all_plot()
    {
        var options = new PictureOptions { WidthPixels = 480, IsBare = true };
        Scene scene = Records(options, Header, DeflectionRecord.Line(0, 0, 4095, 4095, 4096, 40960)).Compose();
        Assert.Equal(480, scene.Frame.Width);
        Assert.True(scene.Frame.PlotWidth > 370);
        using var svg = new MemoryStream();
        SceneRenderer.RenderSvg(scene, svg);
        using var png = new MemoryStream();
        SceneRenderer.RenderPng(scene, png, 2);

        // Width and height are the first words of the first chunk (Portable Network Graphics, W3C 2003, 11.2.2).
        ReadOnlySpan<byte> header = png.GetBuffer().AsSpan(16, 8);
        Assert.Equal(960, BinaryPrimitives.ReadInt32BigEndian(header));
        Assert.Equal(2 * scene.Frame.Height, BinaryPrimitives.ReadInt32BigEndian(header[4..]));
    }

    [Fact]
    public void Beyond_the_limit_exposures_become_a_map_that_keeps_their_sum_and_place()
    {
        var picture = new RecordsPicture(new PictureOptions());
        picture.Begin(Header with { Dac = Header.Dac with { Bits = 16 }, NanometresPerCodeX = 1, NanometresPerCodeY = 1 });
        for (int row = 0; row < 1500; row++)
        {
            for (int part = 0; part < 150; part++)
            {
                int x = 32768 + 40 * part;
                int y = 32768 + 4 * row;
                picture.Write([DeflectionRecord.Line(x, y, x + 39, y, 40, part < 75 ? 16 : 32)]);
            }
        }

        picture.End();
        Scene scene = picture.Compose();
        Assert.DoesNotContain(scene.Batches, batch => batch.Role is SceneRole.Line or SceneRole.Dot);
        SceneMap map = Assert.Single(scene.Maps);
        // 32 ticks of 0.1 µs on each 40 nm × 4 nm are 20 ms on a square micrometre; the beat of rows against pixels
        // is left with a few percent.
        Assert.Equal("beam-on time per µm²", scene.TintScale!.Title);
        Assert.True(NumberText.TryParseReal(scene.TintScale.High.Replace(" ms", "", StringComparison.Ordinal), out double high));
        Assert.InRange(high, 19, 22);
        Assert.InRange(TintAt(1500, 3000), 5, 7);
        Assert.InRange(TintAt(4500, 3000), 11, 12);
        Assert.Equal(0, TintAt(-100, 3000));
        Assert.Equal(0, TintAt(3000, 6100));

        byte TintAt(double x, double y) => map.Tints.Span[
            ((int)scene.Frame.PixelY(y) - scene.Frame.PlotTop) * map.Columns + (int)scene.Frame.PixelX(x) - PictureFrame.PlotLeft];
    }

    [Fact]
    public void Many_small_figures_are_summed_by_pixel()
    {
        var figures = new List<Figure>();
        for (int i = 0; i < 210_000; i++)
        {
            int x = i % 500 * 10;
            int y = i / 500 * 10;
            figures.Add(Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(x, y, x + 5, y + 10), isTransposed: i % 2 == 0));
        }

        Scene scene = FiguresPicture.Compose(
            new FiguresDocument(new FiguresHeader(1000, ["a"]), figures), new PictureOptions { WidthPixels = 600 });
        Assert.Empty(scene.Batches);
        Assert.Single(scene.Maps);
        Assert.Single(scene.Notes);
        double covered = 0;
        foreach (byte tint in scene.Maps[0].Tints.Span)
        {
            covered += tint / 12.0;
        }

        double pixel = scene.Frame.NanometresPerPixel;
        Assert.InRange(covered * pixel * pixel, 210_000 * 45, 210_000 * 55);
    }

    [Fact]
    public void An_empty_document_gives_a_picture_all_the_same()
    {
        Scene scene = FiguresPicture.Compose(new FiguresDocument(new FiguresHeader(100, ["a"]), []), new PictureOptions());
        Assert.Equal("0 figures · 1 layer · empty", scene.Facts);
        Assert.NotEmpty(Svg(scene));
        Assert.True(Png(scene).Width > 0);
        Assert.NotEmpty(Svg(Records(new PictureOptions(), Header).Compose()));
    }

    [Theory]
    [InlineData(100, 0)]
    [InlineData(1200, 9000)]
    public void Sizes_that_no_picture_has_are_refused(int width, int height) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => FiguresPicture.Compose(Chip(), new PictureOptions { WidthPixels = width, HeightPixels = height }));

    [Fact]
    public void A_picture_of_given_height_keeps_one_scale_for_both_axes()
    {
        PictureFrame frame = FiguresPicture.Compose(Chip(), new PictureOptions { WidthPixels = 800, HeightPixels = 640 }).Frame;
        Assert.Equal((800, 640), (frame.Width, frame.Height));
        Assert.Equal(frame.View.Width / frame.PlotWidth, frame.View.Height / frame.PlotHeight, 1e-9);
    }

    private static FiguresDocument Chip() => new(
        new FiguresHeader(100, ["electrodes", "dots"]),
        [
            Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(0, 0, 100_000, 100_000)),
            Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(120_000, 0, 200_000, 100_000)),
            Figure.FromLine(1, DoseFactor.One, new GridPoint(0, 0), new GridPoint(200_000, 100_000)),
            Figure.FromDot(1, DoseFactor.One, new GridPoint(110_000, 50_000)),
        ]);

    private static RecordsPicture Records(PictureOptions options, RecordsHeader header, params ReadOnlySpan<DeflectionRecord> records)
    {
        var picture = new RecordsPicture(options);
        picture.Begin(header);
        picture.Write(records);
        picture.End();
        return picture;
    }

    private static string Svg(Scene scene)
    {
        using var stream = new MemoryStream();
        SceneRenderer.RenderSvg(scene, stream);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    private static SKBitmap Png(Scene scene)
    {
        using var stream = new MemoryStream();
        SceneRenderer.RenderPng(scene, stream);
        return SKBitmap.Decode(stream.ToArray());
    }
}
