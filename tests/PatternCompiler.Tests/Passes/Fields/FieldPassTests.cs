using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fields;

public sealed class FieldPassTests
{
    [Fact]
    public void A_pattern_that_fits_is_one_field_about_its_middle()
    {
        DividedPattern divided = FieldCase.Divide(FieldCase.Document(FieldCase.Rectangle(10, 20, 30, 50)));
        WriteField field = Assert.Single(divided.Plan.Fields);
        Assert.Equal(("r01c01", new GridPoint(20 * FieldCase.Um, 35 * FieldCase.Um)), (field.Name, field.Centre));
        Assert.Equal(FieldCase.Rectangle(-10, -15, 10, 15), Assert.Single(Assert.Single(divided.Figures).Figures));
    }

    [Fact]
    public void Fields_are_named_by_row_and_column_and_visited_in_serpentine()
    {
        // Two rows of two fields at a pitch of 90 um cover 190 um.
        DividedPattern divided = FieldCase.Divide(FieldCase.Document(
            FieldCase.Rectangle(0, 0, 5, 5), FieldCase.Rectangle(185, 0, 190, 5), FieldCase.Rectangle(0, 185, 5, 190), FieldCase.Rectangle(185, 185, 190, 190)));
        Assert.Equal(["r01c01", "r01c02", "r02c02", "r02c01"], divided.Plan.Fields.Select(field => field.Name));
        Assert.Equal(new GridPoint(140 * FieldCase.Um, 50 * FieldCase.Um), divided.Plan.Fields[1].Centre);
        Assert.Equal(new GridBox(0, 0, 95 * FieldCase.Um, 95 * FieldCase.Um), divided.Plan.Fields[0].Cell);
    }

    [Theory]
    [InlineData(StageOrder.Rows, "r01c01 r01c02 r01c03 r02c01 r02c02 r02c03")]
    [InlineData(StageOrder.Serpentine, "r01c01 r01c02 r01c03 r02c03 r02c02 r02c01")]
    [InlineData(StageOrder.Shortest, "r01c01 r01c02 r01c03 r02c03 r02c02 r02c01")]
    public void The_stage_goes_as_the_options_say(StageOrder order, string expected)
    {
        FieldOptions options = new(100_000, 130_000, 10_000) { Order = order };
        DividedPattern divided = FieldCase.Divide(
            FieldCase.Document(from y in new[] { 0, 240 } from x in new[] { 0, 120, 270 } select FieldCase.Rectangle(x, y, x + 10, y + 10)), options);
        Assert.Equal(expected, string.Join(' ', divided.Plan.Fields.Select(field => field.Name)));
    }

    /// <summary>
    /// A side that runs 3 um over one grid step of height makes a cut stray so far. Bars that end at 188.9 um, where fields share 180 to
    /// 190 um, would have the seam there; it stays 3 um away from both ends, whichever side of the figure runs so.
    /// </summary>
    [Theory]
    [InlineData(false, false)]
    [InlineData(true, false)]
    [InlineData(false, true)]
    [InlineData(true, true)]
    public void A_seam_leaves_room_for_the_side_that_runs_furthest(bool isMirrored, bool isUpsideDown)
    {
        const int Lure = 1_889_000;
        GridEdge upright = new(new(100_000, 0), new(100_000, 30)), slanted = isUpsideDown ? new(new(1_525_000, 0), new(2_425_000, 30)) : new(new(2_425_000, 0), new(1_525_000, 30));
        Figure figure = Figure.FromTrapezoid(0, DoseFactor.One, Mirror(new Trapezoid(0, 30, upright, slanted)));
        Figure[] all =
        [
            figure,
            .. new[] { (0, Lure), (Lure, 3_700_000) }.Select(bar => Figure.FromTrapezoid(0, DoseFactor.One, Mirror(Trapezoid.FromRectangle(bar.Item1, 100_000, bar.Item2, 200_000)))),
        ];
        DividedPattern divided = FieldCase.Divide(FieldCase.Document(all));
        FieldCase.AssertWithinReach(divided);
        Assert.Equal(FieldCase.DosedArea(all), FieldCase.DosedArea(FieldCase.Together(divided)));
        Assert.Equal(4, divided.Figures.Length);

        // Without the slanted side the seam is where the bars end.
        Assert.Equal(4, FieldCase.Divide(FieldCase.Document(all[1..])).Figures.Sum(document => document.Figures.Count));

        Trapezoid Mirror(Trapezoid shape) => !isMirrored ? shape : shape with { Left = MirrorEdge(shape.Right), Right = MirrorEdge(shape.Left) };

        static GridEdge MirrorEdge(GridEdge edge) => new(new(-edge.Lower.X, edge.Lower.Y), new(-edge.Upper.X, edge.Upper.Y));
    }

    /// <summary>The way begins at the lower left field, and not at the height or the side of the second one.</summary>
    [Theory]
    [InlineData("03 10 11 12 13", "03 13 12 11 10")]
    [InlineData("00 03 10 11 12 13", "00 10 11 12 13 03")]
    public void The_shortest_way_begins_at_the_first_field(string given, string expected)
    {
        WriteField[] fields = [.. given.Split(' ').Select(name => (Row: name[0] - '0', Column: name[1] - '0', Name: name)).Select(f => new WriteField(f.Row, f.Column, f.Name, new GridPoint((900_000 * f.Column) + 7, (900_000 * f.Row) - 5), default))];
        Assert.Equal(expected, string.Join(' ', StageRoute.Order(fields, StageOrder.Shortest, CancellationToken.None).Select(field => field.Name)));
    }

    [Fact]
    public void Fields_without_figures_are_left_out()
    {
        DividedPattern divided = FieldCase.Divide(FieldCase.Document(FieldCase.Rectangle(0, 0, 5, 5), FieldCase.Rectangle(275, 275, 280, 280)));
        Assert.Equal(["r01c01", "r03c03"], divided.Plan.Fields.Select(field => field.Name));
    }

    [Fact]
    public void What_was_drawn_as_one_stays_together()
    {
        // An L of two trapezoids about the middle of the overlap, 9 um in all: each part alone would go to its own side.
        ContourSet corner = ContourSet.FromRing(
            new(910_000, 0), new(1_000_000, 0), new(1_000_000, 20_000), new(930_000, 20_000), new(930_000, 90_000), new(910_000, 90_000));
        ContourSetBuilder drawing = new();
        drawing.AddAll(corner);
        drawing.AddAll(new GridBox(0, 0, 20_000, 20_000).ToContourSet());
        drawing.AddAll(new GridBox(1_880_000, 0, 1_900_000, 20_000).ToContourSet());
        DividedPattern divided = FieldCase.Divide(FieldCase.Fracture(drawing.ToContourSet()));
        Assert.Equal(0, divided.Cut);
        Assert.Contains(divided.Figures, document => document.Figures.Count == 3);
    }

    /// <summary>
    /// A line that meets no grid point but its ends is cut at the grid points nearest to it, on every seam: the parts go on from each other, in the
    /// sense of the line, and leave it by half a grid step at most.
    /// </summary>
    [Theory]
    [InlineData(-900_000, -700_001, 2_000_003, 1_300_000)]
    [InlineData(2_000_003, 1_300_000, -900_000, -700_001)]
    [InlineData(-900_000, 1_300_000, 2_000_003, -700_001)]
    [InlineData(700_001, -900_000, 100_000, 2_000_003)]
    [InlineData(700_001, 2_000_003, 100_000, -900_000)]
    public void A_line_is_cut_where_it_crosses_the_seams(int startX, int startY, int endX, int endY)
    {
        DividedPattern divided = FieldCase.Divide(FieldCase.Document(Figure.FromLine(0, DoseFactor.One, new GridPoint(startX, startY), new GridPoint(endX, endY))));
        FieldCase.AssertWithinReach(divided);
        long dx = (long)endX - startX, dy = (long)endY - startY;
        List<Figure> parts = [.. FieldCase.Together(divided).OrderBy(part => (Int128)(part.Start.X - startX) * dx + (Int128)(part.Start.Y - startY) * dy)];
        Assert.InRange(parts.Count, 3, 9);
        Assert.Equal((new GridPoint(startX, startY), new GridPoint(endX, endY)), (parts[0].Start, parts[^1].End));
        for (int i = 1; i < parts.Count; i++)
        {
            GridPoint cut = parts[i].Start;
            Assert.Equal(parts[i - 1].End, cut);

            // Upright on the steeper axis; the distance along the other one.
            double off = Math.Abs((cut.X - startX) * (double)dy - (cut.Y - startY) * (double)dx) / Math.Max(Math.Abs(dx), Math.Abs(dy));
            Assert.InRange(off, 0, 0.5 * Math.Max(1, Math.Max(Math.Abs(dx / (double)dy), Math.Abs(dy / (double)dx))));
        }
    }

    [Fact]
    public void A_figure_cut_in_both_directions_counts_once()
    {
        DividedPattern divided = FieldCase.Divide(FieldCase.Document(FieldCase.Rectangle(0, 0, 190, 190)));
        Assert.Equal(1, divided.Cut);
        Assert.Equal(4, divided.Figures.Sum(document => document.Figures.Count));
    }

    [Fact]
    public void The_fingers_of_a_comb_are_not_cut_although_the_comb_is()
    {
        List<Figure> comb = [FieldCase.Rectangle(0, 0, 190, 2)];
        comb.AddRange(Enumerable.Range(0, 38).Select(i => FieldCase.Rectangle(5 * i, 2, (5 * i) + 1, 60)));
        DividedPattern divided = FieldCase.Divide(FieldCase.Document(comb));
        Assert.Equal(1, divided.Cut);
        Assert.Equal(38 + 2, divided.Figures.Sum(document => document.Figures.Count));
    }

    [Fact]
    public void A_seam_leaves_no_sliver()
    {
        // Three fields; the second overlap is from 180 to 190 um, and 50 nm of the bar reach beyond its middle.
        DividedPattern divided = FieldCase.Divide(FieldCase.Document(FieldCase.Rectangle(0, 0, 185.05, 10), FieldCase.Rectangle(275, 0, 280, 5)));
        Assert.Equal([95.0, 90.05], FieldCase.Together(divided).Take(2).Select(figure => FigureFrame.BoxOf(figure) is var box ? (box.XRight - box.XLeft) / 10_000.0 : 0));
    }

    [Fact]
    public void A_seam_crosses_where_the_shape_is_wide()
    {
        // A bar that is 0.3 um wide from 92 to 98 um and 20 um wide elsewhere.
        ContourSet neck = ContourSet.FromRing(
            new(0, 0), new(920_000, 0), new(920_000, 98_500), new(980_000, 98_500), new(980_000, 0), new(1_900_000, 0),
            new(1_900_000, 200_000), new(980_000, 200_000), new(980_000, 101_500), new(920_000, 101_500), new(920_000, 200_000), new(0, 200_000));
        DividedPattern divided = FieldCase.Divide(FieldCase.Fracture(neck));
        int seam = divided.Plan.Fields[0].Cell.XRight;
        Assert.True(seam is < 920_000 or > 980_000, $"the seam is at {seam}");
        Assert.Equal(1, divided.Cut);
    }

    [Fact]
    public void A_seam_avoids_what_it_can()
    {
        // Two buses, one above the other, are cut anyway; from 93 to 100 um a third one would be cut, too.
        DividedPattern divided = FieldCase.Divide(FieldCase.Document(
            FieldCase.Rectangle(0, 0, 190, 2), FieldCase.Rectangle(0, 10, 190, 12), FieldCase.Rectangle(93, 20, 280, 22), FieldCase.Rectangle(275, 0, 280, 5)));
        Assert.InRange(divided.Plan.Fields[0].Cell.XRight, 900_000, 930_000);
        Assert.Equal(3, divided.Cut);
    }

    [Fact]
    public void A_taper_writes_rising_and_falling_doses()
    {
        DividedPattern divided = FieldCase.Divide(
            FieldCase.Document(FieldCase.Rectangle(0, 0, 190, 10)), FieldCase.Tapered with { TaperSteps = 4 });
        IReadOnlyList<Figure> left = divided.Figures[0].Figures, right = divided.Figures[1].Figures;
        Assert.Equal([1_000_000, 875_000, 625_000, 375_000, 125_000], left.Select(figure => figure.DoseFactor.Millionths));
        Assert.Equal([125_000, 375_000, 625_000, 875_000, 1_000_000], right.Select(figure => figure.DoseFactor.Millionths));
        Assert.All(left.Skip(1), strip => Assert.Equal(5_000, strip.Shape.Right.Lower.X - strip.Shape.Left.Lower.X));
    }

    [Fact]
    public void An_overlap_is_written_twice()
    {
        DividedPattern divided = FieldCase.Divide(
            FieldCase.Document(FieldCase.Rectangle(0, 0, 190, 10)),
            FieldCase.Options with { Seam = SeamKind.Overlap, SeamWidthNanometres = 50 });

        // Twice the area of the rectangle and of a strip of 50 nm by 10 um, in squares of the grid.
        Assert.Equal((Fraction)((Int128)1_000_000 * 2 * ((1_900_000L * 100_000) + (500L * 100_000))), FieldCase.DosedArea(FieldCase.Together(divided)));
        FieldCase.AssertWithinReach(divided);
    }

    [Fact]
    public void A_slanted_side_at_the_seam_is_cut_without_rounding()
    {
        ContourSet triangle = ContourSet.FromRing(new(0, 0), new(1_900_000, 333_333), new(1_900_000, 700_001));
        FiguresDocument whole = FieldCase.Fracture(triangle);
        DividedPattern divided = FieldCase.Divide(whole);
        Assert.True(divided.Cut > 0);
        Assert.Equal(FieldCase.DosedArea(whole.Figures), FieldCase.DosedArea(FieldCase.Together(divided)));
        FieldCase.AssertWithinReach(divided);
    }

    [Fact]
    public void Centres_are_whole_steps_of_the_stage_and_may_be_given()
    {
        FiguresDocument pattern = FieldCase.Document(FieldCase.Rectangle(0.3, 0, 190, 10));
        Assert.All(
            FieldCase.Divide(pattern, FieldCase.Options with { StageStepNanometres = 1000 }).Plan.Fields,
            field => Assert.Equal((0, 0), (field.Centre.X % FieldCase.Um, field.Centre.Y % FieldCase.Um)));
        DividedPattern given = FieldCase.Divide(pattern, FieldCase.Options with { FirstCentreNanometres = (50_000, 40_000) });
        Assert.Equal([new GridPoint(500_000, 400_000), new GridPoint(1_400_000, 400_000)], given.Plan.Fields.Select(field => field.Centre));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Made_marks_stand_in_every_field(bool first)
    {
        var marks = new FieldMarks("marks of the field", first) { Places = [(-45_000, 45_000), (45_000, -45_000)], SizeNanometres = 4000, BarNanometres = 500 };
        DividedPattern divided = FieldCase.Divide(FieldCase.Document(FieldCase.Rectangle(0, 0, 190, 10)), FieldCase.Options with { Marks = marks });
        Assert.Equal(2, divided.Figures.Length);
        Assert.All(divided.Figures, document =>
        {
            Assert.Equal(["bars", "marks", "marks of the field"], document.Header.Layers.AsEnumerable());
            Assert.Equal(6, document.Figures.Count(figure => figure.Layer == 2));
            Assert.Equal(2, document.Figures[first ? 0 : ^1].Layer);

            // A cross of two bars: 2 x 4 um x 0.5 um less the square where they meet.
            Assert.Equal(
                (Fraction)((Int128)1_000_000 * 2 * 2 * ((2 * 40_000L * 5_000) - (5_000L * 5_000))),
                FieldCase.DosedArea(document.Figures.Where(figure => figure.Layer == 2)));
        });
    }

    /// <summary>A mark of 4 um reaches 2 um to each side: to the field's edge it may, and not a step further, in a field of 100 by 60 um.</summary>
    [Theory]
    [InlineData(48_000, 0, true)]
    [InlineData(48_000.1, 0, false)]
    [InlineData(-48_000, 0, true)]
    [InlineData(-48_000.1, 0, false)]
    [InlineData(0, 28_000, true)]
    [InlineData(0, 28_000.1, false)]
    [InlineData(0, -28_000, true)]
    [InlineData(0, -28_000.1, false)]
    public void A_made_mark_lies_within_the_field(double x, double y, bool isWithin)
    {
        var options = new FieldOptions(100_000, 60_000, 10_000) { Marks = new FieldMarks("m", true) { Places = [(x, y)], SizeNanometres = 4000, BarNanometres = 500 } };
        FiguresDocument bar = FieldCase.Document(FieldCase.Rectangle(0, 0, 30, 10));
        if (isWithin)
        {
            Assert.Equal(4, FieldCase.Divide(bar, options).Figures[0].Figures.Count);
            return;
        }

        Assert.Contains("lies beyond the reach of 50 um by 30 um", MessageOf(bar, options), StringComparison.Ordinal);
    }

    /// <summary>A cross of two bars about its place, from below; one that is as thick as long is a square.</summary>
    [Fact]
    public void Made_marks_have_their_shape_and_place()
    {
        var cross = new FieldMarks("m", true) { Places = [(10_000, -5000)], SizeNanometres = 4000, BarNanometres = 1000 };
        Assert.Equal(
            [FieldCase.Rectangle(9.5, -7, 10.5, -5.5, 2), FieldCase.Rectangle(8, -5.5, 12, -4.5, 2), FieldCase.Rectangle(9.5, -4.5, 10.5, -3, 2)], Made(cross));
        Figure square = FieldCase.Rectangle(8, -7, 12, -3, 2);
        Assert.Equal([square], Made(cross with { Shape = MarkShape.Square }));
        Assert.Equal([square], Made(cross with { BarNanometres = 4000 }));
        Assert.Equal(3, Made(cross with { BarNanometres = 3999.8 }).Length);

        static Figure[] Made(FieldMarks marks) =>
            [.. FieldCase.Divide(FieldCase.Document(FieldCase.Rectangle(0, 0, 30, 10)), FieldCase.Options with { Marks = marks }).Figures[0].Figures.Where(figure => figure.Layer == 2)];
    }

    /// <summary>Both sides of each bound, in fields that are no squares.</summary>
    [Theory]
    [InlineData(100_000, 60_000, 30_000, SeamKind.Butt, 0, null)]
    [InlineData(100_000, 60_000, 30_000.2, SeamKind.Butt, 0, "neighbouring write fields share 30.0002 um of their 60 um")]
    [InlineData(60_000, 100_000, 30_000.2, SeamKind.Butt, 0, "neighbouring write fields share 30.0002 um of their 60 um")]
    [InlineData(100_000, 60_000, 100, SeamKind.Butt, 500, null)]
    [InlineData(100_000, 60_000, 99.9, SeamKind.Butt, 500, "neighbouring write fields share 0.0999 um, but their seams need 0.1 um")]
    [InlineData(100_000, 60_000, 1100, SeamKind.Overlap, 1000, null)]
    [InlineData(100_000, 60_000, 1099.9, SeamKind.Overlap, 1000, "neighbouring write fields share 1.0999 um, but their seams need 1.1 um")]
    [InlineData(107_374_182.2, 60_000, 30_000, SeamKind.Butt, 0, null)]
    [InlineData(107_374_182.4, 60_000, 30_000, SeamKind.Butt, 0, "a write field cannot be larger than 107374.1823 um on this grid")]
    [InlineData(60_000, 107_374_182.4, 30_000, SeamKind.Butt, 0, "a write field cannot be larger than 107374.1823 um on this grid")]
    public void Settings_are_taken_up_to_their_bounds(double width, double height, double margin, SeamKind seam, double strip, string? fault)
    {
        FiguresDocument bar = FieldCase.Document(FieldCase.Rectangle(0, 0, 30, 10));
        var options = new FieldOptions(width, height, margin) { Seam = seam, SeamWidthNanometres = strip };
        Assert.Equal(fault, (Record.Exception(() => FieldCase.Divide(bar, options)) as CompileException)?.Diagnostic.Message);
    }

    [Fact]
    public void Drawn_marks_are_written_in_every_field_that_holds_them()
    {
        // The first one stands where both fields reach.
        FiguresDocument pattern = FieldCase.Document(
            FieldCase.Rectangle(0, 0, 190, 10), FieldCase.Rectangle(94, 20, 96, 22, layer: 1), FieldCase.Rectangle(10, 20, 12, 22, layer: 1));
        DividedPattern divided = FieldCase.Divide(pattern, FieldCase.Options with { Marks = new FieldMarks("marks", AreFirst: true) });
        Assert.Equal([2, 1], divided.Figures.Select(document => document.Figures.Count(figure => figure.Layer == 1)));
    }

    [Fact]
    public void Marks_may_stand_further_from_a_field_than_coordinates_reach()
    {
        // 160 mm from end to end, while coordinates end at 107 mm; fields of 20 mm.
        FiguresDocument pattern = FieldCase.Document(
            FieldCase.Rectangle(-80_000, 0, -79_990, 10),
            FieldCase.Rectangle(79_990, 0, 80_000, 10),
            FieldCase.Rectangle(-79_980, 0, -79_970, 10, layer: 1),
            FieldCase.Rectangle(79_970, 0, 79_980, 10, layer: 1));
        DividedPattern divided = FieldCase.Divide(pattern, new FieldOptions(20_000_000, 20_000_000, 10_000) { Marks = new FieldMarks("marks", AreFirst: true) });
        Assert.Equal([2, 2], divided.Figures.Select(document => document.Figures.Count));
    }

    [Fact]
    public void A_field_here_and_there_among_a_hundred_million_is_soon_found()
    {
        DividedPattern divided = FieldCase.Divide(
            FieldCase.Document(FieldCase.Rectangle(-80_000, -80_000, -79_999, -79_999), FieldCase.Rectangle(79_999, 79_999, 80_000, 80_000)),
            new FieldOptions(17_000, 17_000, 1000));
        Assert.Equal(2, divided.Plan.Fields.Length);
    }

    [Fact]
    public void Errors_say_what_to_do()
    {
        FiguresDocument bar = FieldCase.Document(FieldCase.Rectangle(0, 0, 190, 10), FieldCase.Rectangle(94, 80, 96, 92, layer: 1));
        Assert.Equal(
            "error PC1702: neighbouring write fields share 10 um, but their seams need 10.1 um; enlarge the margin, so that seams can avoid small features",
            MessageOf(bar, FieldCase.Options with { Seam = SeamKind.Overlap, SeamWidthNanometres = 10_000 }));
        Assert.Equal(
            "error PC1702: neighbouring write fields share 60 um of their 100 um; let them share less than half of their size",
            MessageOf(bar, FieldCase.Options with { MarginNanometres = 60_000 }));
        Assert.Equal(
            "error PC1702: the strip that both fields write at a seam has no width; give it a width, or let the parts meet edge to edge",
            MessageOf(bar, FieldCase.Options with { Seam = SeamKind.Taper }));
        Assert.Equal(
            "error PC1703: the pattern begins at x = 0 um, but the first write field reaches from 10 um; move the first field, or leave it out to centre the fields on the pattern",
            MessageOf(bar, FieldCase.Options with { FirstCentreNanometres = (60_000, 0) }));
        Assert.Equal(
            "error PC1702: the first write field is to be centred at (-250000, 0) um, but coordinates on this grid end at 107374.1823 um; correct 'fields.first' in the job, or leave it out to centre the fields on the pattern",
            MessageOf(bar, FieldCase.Options with { FirstCentreNanometres = (-250_000_000, 0) }));
        Assert.Equal(
            "error PC1703: the registration mark at (95, 86) um lies whole in no write field; move it, or let the fields share more ('fields.margin' in the job)",
            MessageOf(bar, FieldCase.Options with { Marks = new FieldMarks("marks", true) }));
        Assert.Equal(
            "error PC1703: a registration mark of 4 um at (49, 0) um from the field's centre lies beyond the reach of 50 um by 50 um; move it inwards ('fields.marks.at' in the job), or enlarge the fields",
            MessageOf(bar, FieldCase.Options with { Marks = new FieldMarks("m", true) { Places = [(49_000, 0)], SizeNanometres = 4000 } }));
        Assert.Equal(
            "error PC1703: the registration marks are to come from a layer 'crosses', but the figures have only 'bars', 'marks'; correct the name, or say where marks are to be made ('fields.marks.at' in the job)",
            MessageOf(bar, FieldCase.Options with { Marks = new FieldMarks("crosses", true) }));
        Assert.Equal(
            "error PC1703: registration marks are to be made on the layer 'bars', which the pattern uses already; give them a layer of their own",
            MessageOf(bar, FieldCase.Options with { Marks = new FieldMarks("bars", true) { Places = [(0, 0)], SizeNanometres = 4000 } }));
        Assert.Equal(
            "error PC1704: there is nothing to write but registration marks; choose the layers to write, or another layer of marks",
            MessageOf(FieldCase.Document(FieldCase.Rectangle(0, 0, 1, 1, layer: 1)), FieldCase.Options with { Marks = new FieldMarks("marks", true) }));
        Assert.Equal(
            "error PC1702: the pattern is 19000 um long along x, which takes more than 10000 write fields of 1 um; check the unit of the drawing and the size of the fields",
            MessageOf(FieldCase.Document(FieldCase.Rectangle(0, 0, 19_000, 1)), new FieldOptions(1000, 1000, 100)));
    }

    [Theory]
    [InlineData(100_000, 100_001)]
    [InlineData(100_003, 100_000)]
    public void A_side_with_rounding_noise_is_bent_by_less_than_a_grid_step(int topLeft, int topRight)
    {
        // It rises or falls by a few grid steps over 190 um: no grid point lies on it near the seam.
        ContourSet wedge = ContourSet.FromRing(new(0, 0), new(1_900_000, 0), new(1_900_000, topRight), new(0, topLeft));
        FiguresDocument whole = FieldCase.Fracture(wedge);
        var sink = new DiagnosticSink();
        DividedPattern divided = FieldPass.Run(whole, FieldCase.Options, sink, CancellationToken.None);
        FieldCase.AssertWithinReach(divided);
        Assert.Equal(
            "note PC1708: 1 side that is nearly parallel to the fields' edges is bent to a grid point at a seam, by no more than half a grid step",
            sink.Collected[^1].ToString());

        // Half a grid step at one end of a triangle of 190 um: a quarter of that area, doubled.
        double moved = FieldCase.DosedArea(FieldCase.Together(divided)).ToDouble() - FieldCase.DosedArea(whole.Figures).ToDouble();
        Assert.InRange(Math.Abs(moved) / 1e6, 0, 1_900_000 / 2);
        Assert.All(FieldCase.Together(divided), figure => Assert.Null(FigureRules.FaultOf(figure.Shape)));
    }

    /// <summary>However many seams cross a side, each bends it where it was drawn: no part leaves it by more than half a grid step.</summary>
    [Theory]
    [InlineData(1_001, 0, 24)]
    [InlineData(0, 1_007, 24)]
    [InlineData(1_003, 0, 1)]
    [InlineData(997, 2_003, 17)]
    public void A_side_that_many_seams_bend_stays_within_half_a_grid_step(int leftCut, int rightCut, int steps)
    {
        // Fields of 30 um that share 3 um, their strips of 2.8 um leave no room to stray: a rise of 1 in 1900 is bent at each cut.
        GridPoint[] corners = [new(0, -200_000), new(1_900_000, -200_000), new(1_900_000, 100_000 - rightCut), new(0, 100_000 - leftCut)];
        FiguresDocument whole = FieldCase.Fracture(ContourSet.FromRing(corners));
        var sink = new DiagnosticSink();
        DividedPattern divided = FieldPass.Run(
            whole, new FieldOptions(30_000, 100_000, 3000) { Seam = SeamKind.Taper, SeamWidthNanometres = 2800, TaperSteps = steps }, sink, CancellationToken.None);
        FieldCase.AssertWithinReach(divided);
        Assert.StartsWith("note PC1708: 1 side that is nearly parallel", sink.Collected[^1].ToString(), StringComparison.Ordinal);
        Assert.All(FieldCase.Together(divided).SelectMany(figure => new[] { figure.Shape.Left, figure.Shape.Right }).Where(edge => !edge.IsVertical), edge =>
        {
            Assert.All(new[] { edge.Lower, edge.Upper }, corner => Assert.InRange(
                corner.Y - (100_000 - leftCut - ((rightCut - leftCut) * (corner.X / 1_900_000.0))), -0.5 - 1e-6, 0.5 + 1e-6));
        });
    }

    private static string MessageOf(FiguresDocument figures, FieldOptions options) =>
        Assert.Throws<CompileException>(() => FieldCase.Divide(figures, options)).Diagnostic.ToString();
}
