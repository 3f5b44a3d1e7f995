using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Route;
using PatternCompiler.Tests.Passes.Fill;

namespace PatternCompiler.Tests.Passes.Route;

public sealed class RouteAreaTests
{
    private const double Deviation = 42.57;

    private static RouteArea Ground(params Figure[] figures) => new(
        new FiguresDocument(new FiguresHeader(100, ["pattern"]), figures),
        [.. figures.Select(_ => 3.0)],
        RouteCase.Route,
        (-25_000, -25_000, 25_000, 25_000));

    [Fact]
    public void What_the_pattern_exposes_may_take_any_dose_and_bare_area_what_the_onset_leaves()
    {
        RouteArea area = Ground(FillCase.Rectangle(-20_000, -20_000, 40_000, 40_000));
        Assert.True(area.IsExposed(area.CellAt(0, 0)));
        Assert.True(area.IsExposed(area.CellAt(1900, 0)));
        Assert.False(area.ComesClose(area.CellAt(0, 0), 1e9));
        int bare = area.CellAt(2300, 0);
        Assert.False(area.IsExposed(bare));

        // At the rim of a square the background is that of the error function: 0.425 · 3 C/m² · Φx · Φy, here about 0.21 C/m².
        // Φ from tables: ½(erf(4.3/4) − erf(0.3/4)) = ½(0.8716 − 0.0845), ½(2·erf(2/4)) = 0.5205.
        double background = 0.74 / 1.74 * 3 * (0.8716 - 0.0845) / 2 * 0.5205;
        double left = (0.8 * RouteCase.Onset - background) * 1.74;
        Assert.False(area.ComesClose(bare, 0.96 * left));
        Assert.True(area.ComesClose(bare, 1.04 * left));
        for (int i = -20; i <= 20; i++)
        {
            area.Lay(bare + i * area.Columns, 0.5 * left, area.CellNanometres);
        }

        Assert.True(area.ComesClose(bare, 0.6 * left));
    }

    /// <summary>A track at any border of the area stays there: its flanks end, and do not go on at the other border.</summary>
    [Fact]
    public void What_is_laid_at_a_border_is_laid_nowhere_else()
    {
        RouteArea whole = Ground(FillCase.Rectangle(-20_000, -20_000, 40_000, 40_000));
        (int columns, int rows) = (whole.Columns, whole.Rows);
        foreach ((int column, int row) in ((int, int)[])[(0, rows / 2), (columns - 1, rows / 2), (columns / 2, 0), (columns / 2, rows - 1), (0, 0), (columns - 1, rows - 1)])
        {
            RouteArea area = Ground(FillCase.Rectangle(-20_000, -20_000, 40_000, 40_000));
            area.Lay(row * columns + column, 1e6, area.CellNanometres);
            int[] printing = [.. Enumerable.Range(0, columns * rows).Where(cell => area.Prints(cell, 0) && !whole.Prints(cell, 0))];
            Assert.Contains(row * columns + column, printing);
            Assert.All(printing, cell => Assert.True(Math.Abs(cell % columns - column) < columns / 4 && Math.Abs(cell / columns - row) < rows / 4, $"({column}, {row}): {cell % columns}, {cell / columns}"));
        }
    }

    /// <summary>What a cell may take is no matter of where the field ends: a pattern at any border of the area exposes nothing at the other. The margin is 40 cells wide.</summary>
    [Theory]
    [InlineData(-1, 0)]
    [InlineData(1, 0)]
    [InlineData(0, -1)]
    [InlineData(0, 1)]
    public void A_pattern_at_a_border_exposes_nothing_elsewhere(int x, int y)
    {
        const int Half = 10_195;
        RouteArea In((double, double, double, double) field) => new(
            new FiguresDocument(new FiguresHeader(100, ["pattern"]), [FillCase.Rectangle(-Half, -Half, 2 * Half, 2 * Half)]), [3.0], RouteCase.Route, field);
        double edge = Half / 10.0;
        RouteArea whole = In((-25_000, -25_000, 25_000, 25_000));
        RouteArea cut = In((x < 0 ? -edge : -25_000, y < 0 ? -edge : -25_000, x > 0 ? edge : 25_000, y > 0 ? edge : 25_000));
        Assert.True(cut.Columns * cut.Rows < whole.Columns * whole.Rows);
        for (int cell = 0; cell < cut.Columns * cut.Rows; cell++)
        {
            int same = whole.CellAt(cut.PlaceOf(cell).X, cut.PlaceOf(cell).Y);
            Assert.Equal(whole.IsExposed(same), cut.IsExposed(cell));
            Assert.Equal(Most(whole, same), Most(cut, cell), 1e-3);
        }

        // By bisection; all that is asked for in these tests lies below 100 C/m².
        static double Most(RouteArea area, int cell)
        {
            (double low, double high) = (0, 100);
            while (high - low > 1e-5)
            {
                double middle = (low + high) / 2;
                (low, high) = area.Prints(cell, middle) ? (low, middle) : (middle, high);
            }

            return low;
        }
    }

    [Fact]
    public void Depth_is_the_distance_to_bare_area_and_shelters_are_deep()
    {
        RouteArea area = Ground(FillCase.Rectangle(-20_000, -20_000, 40_000, 40_000));
        Assert.Equal(0, area.DepthOf(area.CellAt(2300, 0)));

        // The exposed area ends where a little less than the edge's half dose is left; distances are those of cell centres.
        Assert.InRange(area.DepthOf(area.CellAt(1000, 0)), 1000 - 2 * area.CellNanometres, 1000 + Deviation + 2 * area.CellNanometres);
        (double x, double y) = area.ShelterNear(1990, 1990, 200)!.Value;
        Assert.InRange(area.DepthOf(area.CellAt(x, y)), 200, 200 + 2 * area.CellNanometres);
        Assert.Null(area.ShelterNear(3900, 0, 200));
        Assert.Equal(0, area.DepthOf(-1));
        Assert.Null(area.ShelterNear(1e9, 0, 200));
    }

    /// <summary>
    /// Among all cells within 16 of a place the shelter is the deepest, of those that are deep enough the nearest: in an oblong area off the middle,
    /// at its ends as well.
    /// </summary>
    [Fact]
    public void A_shelter_is_the_best_cell_around()
    {
        RouteArea area = new(
            new FiguresDocument(new FiguresHeader(100, ["pattern"]), [FillCase.Rectangle(2_000, -9_000, 9_000, 3_000), FillCase.Rectangle(-12_000, 1_000, 4_000, 14_000)]),
            [3.0, 3.0],
            RouteCase.Route,
            (-1_400, -1_000, 1_700, 1_500));
        Assert.NotEqual(area.Columns, area.Rows);
        int found = 0;
        for (int cell = 3; cell < area.Columns * area.Rows; cell += 53)
        {
            (double x, double y) = area.PlaceOf(cell);
            foreach (double deep in (double[])[30, 60, 1e9])
            {
                (double X, double Y)? shelter = area.ShelterNear(x, y, deep);
                double depth = 0, distance = 0;
                for (int other = 0; other < area.Columns * area.Rows; other++)
                {
                    (int dx, int dy) = (other % area.Columns - cell % area.Columns, other / area.Columns - cell / area.Columns);
                    double there = Math.Min(deep, area.DepthOf(other));
                    if (Math.Abs(dx) <= 16 && Math.Abs(dy) <= 16 && there > 0 && (there > depth || (there == depth && dx * dx + dy * dy < distance)))
                    {
                        (depth, distance) = (there, dx * dx + dy * dy);
                    }
                }

                Assert.Equal(depth > 0, shelter is not null);
                if (shelter is (double X, double Y) chosen)
                {
                    int at = area.CellAt(chosen.X, chosen.Y);
                    (int dx, int dy) = (at % area.Columns - cell % area.Columns, at / area.Columns - cell / area.Columns);
                    Assert.Equal((depth, distance), (Math.Min(deep, area.DepthOf(at)), dx * dx + dy * dy));
                    found++;
                }
            }
        }

        Assert.InRange(found, 20, 100_000);
    }

    [Fact]
    public void Ways_lead_over_exposed_area_or_around_but_not_across_a_gap()
    {
        // A horseshoe: from one leg to the other over the bow, although the gap between the legs is short.
        RouteArea area = Ground(
            FillCase.Rectangle(-20_000, -20_000, 10_000, 40_000), FillCase.Rectangle(10_000, -20_000, 10_000, 40_000), FillCase.Rectangle(-10_000, 10_000, 20_000, 10_000));
        var search = new RouteSearch(area);
        List<int> bends = search.Find(area.CellAt(-1500, -1500), area.CellAt(1500, -1500), 0.9, 1_000_000);
        Assert.InRange(bends.Count, 3, 12);
        Assert.All(bends, cell => Assert.True(area.IsExposed(cell)));
        Assert.Contains(bends, cell => area.PlaceOf(cell).Y > 900);
        Assert.Empty(search.Find(area.CellAt(-1500, -1500), area.CellAt(1500, -1500), 0.9, 10));
        Assert.Empty(search.Find(-1, area.CellAt(0, 0), 0.9, 1000));
    }

    [Fact]
    public void Figures_that_touch_are_an_island()
    {
        int[] islands = FigureIslands.Of(new FiguresDocument(new FiguresHeader(100, ["pattern"]), RouteCase.Combs));
        Assert.Equal(2, islands.Distinct().Count());
        Assert.Single(islands[..4].Distinct());
        Assert.Single(islands[4..].Distinct());
    }

    /// <summary>Cells are counted from the lower left, and there is none beyond the margin on any side.</summary>
    [Fact]
    public void Places_and_cells_belong_together()
    {
        RouteArea area = Ground(FillCase.Rectangle(-20_000, -10_000, 40_000, 15_000));
        double size = area.CellNanometres;
        (double left, double bottom) = area.PlaceOf(0);
        (double right, double top) = (left + (area.Columns - 1) * size, bottom + (area.Rows - 1) * size);
        Assert.NotEqual(area.Columns, area.Rows);
        for (int cell = 0; cell < area.Columns * area.Rows; cell += 37)
        {
            (double x, double y) = area.PlaceOf(cell);
            Assert.Equal(cell, area.CellAt(x, y));
            Assert.Equal(cell, area.CellAt(x - 0.49 * size, y + 0.49 * size));
            Assert.Equal(cell, area.NearestCellTo(x, y));
        }

        double beyond = 0.51 * size;
        Assert.All(new[] { (left - beyond, 0.0), (right + beyond, 0), (0, bottom - beyond), (0, top + beyond) }, place => Assert.Equal(-1, area.CellAt(place.Item1, place.Item2)));
        Assert.Equal(area.CellAt(right, top), area.NearestCellTo(right + 9 * size, top + 5 * size));
        Assert.Equal(0, area.NearestCellTo(left - 9 * size, bottom - 5 * size));
        Assert.Equal(area.CellAt(left, 0), area.NearestCellTo(left - 9 * size, 0));
        Assert.Equal(area.CellAt(0, top), area.NearestCellTo(0, top + 9 * size));
    }

    /// <summary>
    /// The area reaches 40 standard deviations of the beam around a small pattern, 8 % of its size around a large one, not beyond the field, and
    /// never less far than the pattern; each side by itself.
    /// </summary>
    [Theory]
    [InlineData(2000, 1000, -25_000, -25_000, 25_000, 25_000)]
    [InlineData(2000, 1000, -1500, -25_000, 25_000, 25_000)]
    [InlineData(2000, 1000, -25_000, -1100, 25_000, 25_000)]
    [InlineData(2000, 1000, -25_000, -25_000, 1800, 25_000)]
    [InlineData(2000, 1000, -25_000, -25_000, 25_000, 1300)]
    [InlineData(2000, 1000, -800, -400, 900, 450)]
    [InlineData(30_000, 2000, -25_000, -25_000, 25_000, 25_000)]
    [InlineData(2000, 30_000, -25_000, -25_000, 25_000, 25_000)]
    public void The_area_ends_at_its_margin_or_at_the_field(int width, int height, double fieldLeft, double fieldBottom, double fieldRight, double fieldTop)
    {
        double sigma = Math.Sqrt(59 * 59 + 20 * 20 / (4 * Math.Log(2))) / Math.Sqrt(2);
        double around = Math.Max(40 * sigma, 0.08 * Math.Max(width, height));
        double left = Math.Min(-width / 2, Math.Max(fieldLeft, -width / 2 - around)), bottom = Math.Min(-height / 2, Math.Max(fieldBottom, -height / 2 - around));
        double right = Math.Max(width / 2, Math.Min(fieldRight, width / 2 + around)), top = Math.Max(height / 2, Math.Min(fieldTop, height / 2 + around));
        var area = new RouteArea(
            new FiguresDocument(new FiguresHeader(100, ["pattern"]), [FillCase.Rectangle(-5 * width, -5 * height, 10 * width, 10 * height)]), [3.0], RouteCase.Route, (fieldLeft, fieldBottom, fieldRight, fieldTop));
        Assert.Equal(sigma, area.CellNanometres, 1e-9);
        Assert.Equal(((int)((right - left) / sigma) + 2, (int)((top - bottom) / sigma) + 2), (area.Columns, area.Rows));
        Assert.Equal(left + sigma / 2, area.PlaceOf(0).X, 1e-6);
        Assert.Equal(bottom + sigma / 2, area.PlaceOf(0).Y, 1e-6);
    }

    /// <summary>
    /// A trapezoid from 0 to 100 whose right side leans, beside a rectangle that reaches beyond it: their boxes overlap, and whether they
    /// touch is decided where both are. In all four mirror images.
    /// </summary>
    [Theory]
    [InlineData(60, 200, 85, false)] // the side is at 62 and 70; further up, where the trapezoid has ended, it would be at 90
    [InlineData(60, 200, 71, true)]
    [InlineData(60, 200, 72, false)]
    [InlineData(-100, 40, 58, true)]
    [InlineData(-100, 40, 60, false)]
    [InlineData(100, 200, 70, true)]
    [InlineData(101, 200, 60, false)]
    [InlineData(-50, 0, 50, true)]
    [InlineData(-50, -1, 40, false)]
    public void Figures_touch_only_where_both_are(int bottom, int top, int left, bool isTouching)
    {
        foreach ((int signX, int signY) in new[] { (1, 1), (-1, 1), (1, -1), (-1, -1) })
        {
            (int low, int high) = signY > 0 ? (0, 100) : (-100, 0);
            GridEdge upright = new(new(0, low), new(0, high));
            GridEdge leaning = signY > 0 ? new(new(signX * 50, 0), new(signX * 70, 100)) : new(new(signX * 70, -100), new(signX * 50, 0));
            var trapezoid = new Trapezoid(low, high, signX > 0 ? upright : leaning, signX > 0 ? leaning : upright);
            (int yBottom, int yTop) = signY > 0 ? (bottom, top) : (-top, -bottom);
            Figure rectangle = signX > 0 ? FillCase.Rectangle(left, yBottom, 100, yTop - yBottom) : FillCase.Rectangle(-left - 100, yBottom, 100, yTop - yBottom);
            int[] islands = FigureIslands.Of(new FiguresDocument(new FiguresHeader(100, ["pattern"]), [Figure.FromTrapezoid(0, PatternCompiler.Units.DoseFactor.One, trapezoid), rectangle]));
            Assert.Equal(isTouching ? 1 : 2, islands.Distinct().Count());
        }
    }

    /// <summary>A line or a dot belongs to what its box reaches, whichever of the two stands first.</summary>
    [Theory]
    [InlineData(1, true)]
    [InlineData(2, false)]
    public void Lines_and_dots_touch_what_their_boxes_touch(int gap, bool isTouching)
    {
        Figure area = FillCase.Rectangle(0, 0, 500, 300);
        PatternCompiler.Units.DoseFactor one = PatternCompiler.Units.DoseFactor.One;
        Figure[] others =
        [
            Figure.FromLine(0, one, new GridPoint(500 + gap, 100), new GridPoint(900, 250)),
            Figure.FromLine(0, one, new GridPoint(100, -gap), new GridPoint(400, -600)),
            Figure.FromDot(0, one, new GridPoint(-gap, 300)),
            Figure.FromDot(0, one, new GridPoint(200, 300 + gap)),
        ];
        foreach (Figure other in others)
        {
            foreach (Figure[] pair in new[] { new[] { area, other }, [other, area] })
            {
                int[] islands = FigureIslands.Of(new FiguresDocument(new FiguresHeader(100, ["pattern"]), pair));
                Assert.Equal(isTouching ? 1 : 2, islands.Distinct().Count());
            }
        }
    }

    [Fact]
    public void A_comb_of_many_fingers_is_an_island_and_soon_found()
    {
        // Fingers lie on both sides of the bus, and those on the right are at its height all the time.
        const int Fingers = 60_000;
        Figure[] comb =
        [
            FillCase.Rectangle(-100, 0, 100, 200 * Fingers),
            .. Enumerable.Range(0, Fingers).Select(i => FillCase.Rectangle(0, 200 * i, 5000, 100)),
            FillCase.Rectangle(6000, 0, 100, 200 * Fingers),
        ];
        int[] islands = FigureIslands.Of(new FiguresDocument(new FiguresHeader(100, ["pattern"]), comb));
        Assert.Single(islands[..^1].Distinct());
        Assert.NotEqual(islands[0], islands[^1]);
    }
}
