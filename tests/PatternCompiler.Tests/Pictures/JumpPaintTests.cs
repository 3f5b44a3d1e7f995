using System.Collections.Immutable;
using System.Text;
using System.Text.RegularExpressions;
using PatternCompiler.Pictures;
using SkiaSharp;

namespace PatternCompiler.Tests.Pictures;

/// <summary>Jumps in a picture: seen on any ground, dashed as one line round corners, with one arrow each.</summary>
public partial class JumpPaintTests
{
    private const string JumpRed = "#be104a";

    /// <summary>
    /// Contrast as defined by the W3C's Web Content Accessibility Guidelines 2.2, "relative luminance" and "contrast ratio"; success
    /// criterion 1.4.11 asks for 3:1 between graphics that have to be seen and what is adjacent to them: here the jump's light margin.
    /// </summary>
    [Fact]
    public void A_jump_is_seen_over_areas_of_every_hue_whether_it_prints_or_not()
    {
        for (int hue = 0; hue < Palette.HueCount; hue++)
        {
            foreach (int tint in new[] { 1, Palette.TintCount })
            {
                // Along the middle of a row of pixels.
                PictureFrame frame = SceneOf(tint, hue, []).Frame;
                double y = frame.View.Top - (200.5 * frame.NanometresPerPixel);
                Scene scene = SceneOf(tint, hue, [[(-500, y), (500, y)]]);
                SKBitmap picture = Png(scene);
                int row = frame.PlotTop + 200;
                int from = (int)scene.Frame.PixelX(-400);
                double best = Enumerable.Range(from, 60).Max(x =>
                {
                    SKColor[] across = [.. Enumerable.Range(row - 3, 7).Select(at => picture.GetPixel(x, at))];
                    SKColor jump = across.MinBy(colour => RedDistance(colour));
                    return RedDistance(jump) > 40 ? 0 : across.Max(beside => ContrastOf(jump, beside));
                });
                Assert.True(best >= 3, $"hue {hue}, tint {tint}: contrast {best:F2}");
            }
        }
    }

    [Fact]
    public void A_jump_with_corners_is_one_line_with_one_arrow_a_little_beyond_its_middle()
    {
        (double, double)[] way = [.. Enumerable.Range(0, 81).Select(k => (-400.0 + (k * 10), k < 60 ? 0.0 : (k - 59) * 10.0))];
        Scene scene = SceneOf(Palette.TintCount, 0, [way]);
        string svg = Svg(scene);
        string line = Assert.Single(Dashed().Matches(svg).Select(match => match.Groups["path"].Value));
        Assert.Equal(1, line.Count(c => c == 'M'));
        string arrow = Assert.Single(Filled().Matches(svg).Select(match => match.Groups["path"].Value));
        Assert.Equal(1, arrow.Count(c => c == 'M'));

        // 59 straight steps of 10 nm and 21 slanting ones of 14.14 nm: 55 % of 887 nm are 487.8 nm.
        string[] tip = arrow[1..].Split('l')[0].Split(' ', ',');
        double x = scene.Frame.View.Left + ((double.Parse(tip[0], System.Globalization.CultureInfo.InvariantCulture) - 4 - PictureFrame.PlotLeft) * scene.Frame.NanometresPerPixel);
        Assert.Equal(-400 + 487.8, x, 0.5);
    }

    [Fact]
    public void A_way_that_leaves_the_view_and_comes_back_is_drawn_in_two_lines()
    {
        Scene scene = SceneOf(Palette.TintCount, 0, [[(-300, 0), (-300, 5000), (300, 5000), (300, 0)]]);
        string line = Assert.Single(Dashed().Matches(Svg(scene)).Select(match => match.Groups["path"].Value));
        Assert.Equal(2, line.Count(c => c == 'M'));
    }

    [Theory]
    [InlineData(150, true)]
    [InlineData(151, false)]
    public void Jumps_without_number_have_neither_margin_nor_arrows(int count, bool isMarked)
    {
        Scene scene = SceneOf(Palette.TintCount, 0, [.. Enumerable.Range(0, count).Select(k => new[] { (-400.0, (k * 5.0) - 400), (400.0, (k * 5.0) - 400) })]);
        string svg = Svg(scene);
        Assert.Equal(isMarked, Filled().IsMatch(svg));
        Assert.Equal(isMarked, svg.Contains("stroke=\"#ffffff\" stroke-width=\"3\"", StringComparison.Ordinal));
    }

    [Fact]
    public void The_title_of_the_x_axis_stands_under_the_axis_and_nothing_beside_it()
    {
        Scene scene = SceneOf(Palette.TintCount, 0, []);
        SKBitmap picture = Png(scene);
        PictureFrame frame = scene.Frame;
        int bottom = frame.PlotTop + frame.PlotHeight;
        int middle = PictureFrame.PlotLeft + (frame.PlotWidth / 2);
        Assert.True(HasInk(middle - 25, bottom + 28, middle + 25, bottom + 42));
        Assert.False(HasInk(middle + 60, bottom + 28, frame.Width, frame.Height));
        Assert.False(HasInk(PictureFrame.PlotLeft + frame.PlotWidth + 20, bottom + 3, frame.Width, frame.Height));

        bool HasInk(int left, int top, int right, int below) =>
            Enumerable.Range(left, right - left).Any(x => Enumerable.Range(top, below - top).Any(y => picture.GetPixel(x, y).Red < 200));
    }

    private static Scene SceneOf(int tint, int hue, (double X, double Y)[][] jumps)
    {
        PictureFrame frame = PictureFrame.Choose(new SceneExtent(-500, -500, 500, 500), new PictureOptions());
        var area = new ScenePathBuilder();
        foreach ((double x, double y) in new[] { (-500.0, -500.0), (500.0, -500.0), (500.0, 500.0), (-500.0, 500.0) })
        {
            area.Add(x, y);
        }

        area.EndPart();
        return new Scene(
            frame, "jumps", "", [], [], null, null, [],
            [
                new SceneBatch(SceneRole.Area, hue, Palette.TintCount, area.ToPath()),
                new SceneBatch(SceneRole.Jump, 0, tint, ScenePath.Of(jumps.Select(jump => jump.ToImmutableArray()))),
            ]);
    }

    private static double ContrastOf(SKColor a, SKColor b)
    {
        double first = LuminanceOf(a);
        double second = LuminanceOf(b);
        return (Math.Max(first, second) + 0.05) / (Math.Min(first, second) + 0.05);
    }

    private static int RedDistance(SKColor colour) =>
        Math.Abs(colour.Red - Palette.Jump.Red) + Math.Abs(colour.Green - Palette.Jump.Green) + Math.Abs(colour.Blue - Palette.Jump.Blue);

    private static double LuminanceOf(SKColor colour)
    {
        return (0.2126 * Linear(colour.Red)) + (0.7152 * Linear(colour.Green)) + (0.0722 * Linear(colour.Blue));

        static double Linear(byte value) => value / 255.0 <= 0.04045 ? value / 255.0 / 12.92 : Math.Pow(((value / 255.0) + 0.055) / 1.055, 2.4);
    }

    private static SKBitmap Png(Scene scene)
    {
        using var stream = new MemoryStream();
        SceneRenderer.RenderPng(scene, stream);
        return SKBitmap.Decode(stream.ToArray());
    }

    private static string Svg(Scene scene)
    {
        using var stream = new MemoryStream();
        SceneRenderer.RenderSvg(scene, stream);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    [GeneratedRegex($"stroke-dasharray[^>]* stroke=\"{JumpRed}\"[^>]* d=\"(?<path>[^\"]*)\"")]
    private static partial Regex Dashed();

    [GeneratedRegex($"<path fill=\"{JumpRed}\" d=\"(?<path>[^\"]*)\"")]
    private static partial Regex Filled();
}
