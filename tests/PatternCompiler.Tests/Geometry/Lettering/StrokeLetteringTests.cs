using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Lettering;

namespace PatternCompiler.Tests.Geometry.Lettering;

public class StrokeLetteringTests
{
    [Fact]
    public void Every_printable_ascii_character_and_the_unit_signs_have_a_glyph()
    {
        for (char c = ' '; c <= '~'; c++)
        {
            Assert.Contains(c, StrokeLettering.Characters);
        }

        Assert.All("µμ²±°·×σ", c => Assert.Contains(c, StrokeLettering.Characters));
        Assert.DoesNotContain('é', StrokeLettering.Characters);
    }

    [Fact]
    public void Glyphs_stay_in_their_cell_and_never_stand_still()
    {
        foreach (char c in StrokeLettering.Characters)
        {
            int width = StrokeLettering.MeasureWidth(c.ToString());
            foreach (ImmutableArray<GridPoint> stroke in StrokeLettering.Layout(c.ToString()))
            {
                Assert.True(stroke.Length >= 2, $"'{c}'");
                Assert.All(stroke, p => Assert.InRange(p.X, 0, width));
                Assert.All(stroke, p => Assert.InRange(p.Y, -StrokeLettering.Descent, StrokeLettering.CapHeight + 1));
                Assert.All(stroke.Zip(stroke.Skip(1)), pair => Assert.NotEqual(pair.First, pair.Second));
            }
        }
    }

    [Fact]
    public void Characters_that_are_easily_confused_are_drawn_differently()
    {
        foreach (string group in new[] { "0OoDQ", "1lI|!i", "5S$", "2Zz", "8B&", "uvµ", "6bG", "9gq", "({[<", ".,:;'·" })
        {
            string[] drawings = [.. group.Select(Describe)];
            Assert.Equal(drawings.Length, drawings.Distinct().Count());
        }

        static string Describe(char c) => string.Join(';', StrokeLettering.Layout(c.ToString()).Select(s => string.Join(' ', s)));
    }

    [Fact]
    public void Digits_have_one_width_so_that_columns_line_up() =>
        Assert.Single("0123456789".Select(c => StrokeLettering.MeasureWidth(c.ToString())).Distinct());

    [Fact]
    public void Letters_follow_each_other_with_one_gap_and_lines_below_each_other()
    {
        Assert.Equal(7 + StrokeLettering.LetterGap + 7, StrokeLettering.MeasureWidth("LL"));
        Assert.Equal(7, StrokeLettering.MeasureWidth("L\nL"));
        Assert.Equal(0, StrokeLettering.MeasureWidth(""));

        ImmutableArray<ImmutableArray<GridPoint>> lines = StrokeLettering.Layout("LL\nL");
        Assert.Equal(new GridPoint(0, 12), lines[0][0]);
        Assert.Equal(new GridPoint(10, 12), lines[1][0]);
        Assert.Equal(new GridPoint(0, 12 - StrokeLettering.LineSpacing), lines[2][0]);
    }

    [Fact]
    public void Scaling_to_the_grid_rounds_to_the_nearest_step_halves_upward()
    {
        // 'g' reaches y = -3 and -4; at height 18 a cell unit is 1.5 steps: -4.5 rounds to -4, -6 is exact.
        ImmutableArray<ImmutableArray<GridPoint>> g = StrokeLettering.Layout("g", new GridPoint(1000, -1000), 18);
        Assert.Equal(new GridPoint(1009, -988), g[0][0]);
        Assert.Equal(new GridPoint(1009, -1003), g[0][1]);
        Assert.Equal(new GridPoint(1000, -1004), g[0][^1]);
    }

    [Fact]
    public void Text_outside_the_grid_or_below_one_step_per_unit_is_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => StrokeLettering.Layout("A", default, 11));
        Assert.Throws<ArgumentOutOfRangeException>(() => StrokeLettering.Layout("A", new GridPoint(GridPoint.Limit, 0), 1200));
    }
}
