using CsCheck;
using PatternCompiler.Passes.Fill;

namespace PatternCompiler.Tests.Passes.Fill;

/// <summary>
/// Rows of a known charge against the points that they get; a code is 1 nm, a step 10 nm, a regular point has 1 aC. What comes
/// out is balanced against the rows themselves, not against the strokes made of it.
/// </summary>
public sealed class PointPlacerTests
{
    private const double PointCharge = 1e6;
    private const double Code = 1e6;
    private const double Step = 1e7;

    private static readonly Gen<RowCut[]> Rows =
        Gen.Select(Gen.Long[-50_000_000, 50_000_000], Gen.Double[0.02, 12], Gen.Double[0.02, 1.5])
            .Select((start, steps, dose) => new RowCut(0, start, start + steps * Step, steps * dose * PointCharge)).Array[1, 15];

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    public void Charge_that_no_point_takes_is_carried_on_and_less_than_a_point(int ruleNumber)
    {
        var rule = (AxisRule)ruleNumber;
        Gen.Select(Rows, Gen.Double[0.01, 0.9]).Sample((rows, smallest) =>
        {
            LineCut[] cuts = Place(rule, rows, smallest);
            double rest = rows.Sum(r => r.Charge) - cuts.Sum(c => c.Charge);

            // Points at free places wait for half a regular one where rows are narrow.
            double most = PointCharge * (rule == AxisRule.Free ? Math.Max(smallest, 0.5) : smallest);
            Assert.InRange(rest, -1, most + 1);
            Assert.All(cuts, c => Assert.True(c.Charge >= c.Points * PointCharge * smallest * (1 - 1e-9) - 1, $"{c}"));
        }, iter: Iterations.Usually(100));
    }

    // Each of 20 rows has a third of the smallest point: every third or fourth row gets one, and all the charge is there.
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    public void Rows_too_weak_for_a_point_gather_one(int rule)
    {
        RowCut[] rows = [.. Enumerable.Range(0, 20).Select(i => new RowCut(i, 0, 3 * Step, 0.25 * PointCharge))];
        LineCut[] cuts = Place((AxisRule)rule, rows, 0.75);
        Assert.InRange(cuts.Sum(c => c.Charge), 20 * 0.25 * PointCharge - 0.75 * PointCharge, 20 * 0.25 * PointCharge);
        Assert.InRange(cuts.Length, 4, 6);
    }

    [Fact]
    public void Narrow_rows_at_free_places_share_a_point_of_half_a_regular_charge() => Assert.Equal(
        [new LineCut(1, 2_000_000, 2_000_000, 1, 500_000), new LineCut(3, 2_000_000, 2_000_000, 1, 500_000)],
        Place(AxisRule.Free, [.. Enumerable.Range(0, 5).Select(i => new RowCut(i, 0, 0.4 * Step, 0.25 * PointCharge))], 0));

    [Fact]
    public void Narrow_rows_on_codes_have_a_point_each() => Assert.Equal(
        [new LineCut(0, 2_000_000, 2_000_000, 1, 250_000), new LineCut(1, 2_000_000, 2_000_000, 1, 250_000)],
        Place(AxisRule.Spread, [.. Enumerable.Range(0, 2).Select(i => new RowCut(i, 0, 0.4 * Step, 0.25 * PointCharge))], 0));

    [Fact]
    public void A_row_as_narrow_as_half_a_step_has_a_point() =>
        Assert.Single(Place(AxisRule.Free, [new RowCut(0, 0, 0.6 * Step, 0.1 * PointCharge)], 0));

    /// <summary>Where no part of a point may be small, codes are off by up to a half; the next points make up for it.</summary>
    [Fact]
    public void The_centroid_of_points_on_codes_is_off_by_no_more_than_half_a_code_of_one_point() =>
        Gen.Select(Gen.Long[-50_000_000, 50_000_000], Gen.Double[0.6, 12], Gen.Double[0.01, 0.5]).Sample((start, steps, smallest) =>
        {
            var row = new RowCut(0, start, start + steps * Step, steps * PointCharge);
            LineCut[] cuts = Place(AxisRule.Spread, [row], smallest);
            double onePoint = row.Charge / Math.Round(steps);
            Assert.InRange(Moment(cuts) - row.Charge * (row.Start + row.End) / 2, -onePoint * 0.5001 * Code, onePoint * 0.5001 * Code);
        }, iter: Iterations.Usually(100));

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void Without_a_smallest_point_the_centroid_stays(int rule) =>
        Gen.Select(Gen.Long[-50_000_000, 50_000_000], Gen.Double[0.6, 30]).Sample((start, steps) =>
        {
            var row = new RowCut(0, start, start + steps * Step, steps * PointCharge);
            LineCut[] cuts = Place((AxisRule)rule, [row], 0);
            Assert.Equal(row.Charge, cuts.Sum(c => c.Charge), 1.0);

            // Charges are whole zeptocoulombs: each run may be half of one off, by as far as it is away from the centre.
            Assert.Equal((row.Start + row.End) / 2, Moment(cuts) / cuts.Sum(c => c.Charge), 0.01 * Code);
        }, iter: Iterations.Usually(100));

    // A row from 25 to 55 nm holds the nodes at 30, 40 and 50: each gets the dose of a step, the rest is the next figure's.
    [Fact]
    public void Nodes_inside_a_row_get_the_dose_of_a_step_each() => Assert.Equal(
        [new LineCut(7, 30_000_000, 50_000_000, 3, 3_000_000)],
        Place(AxisRule.Centre, [new RowCut(7, 2.5 * Step, 5.4 * Step, 2.9 * PointCharge), new RowCut(8, 5.1 * Step, 5.9 * Step, 0.8 * PointCharge)], 0));

    /// <summary>Where ends and codes meet exactly, nothing is left for the code beside it, and a point of nothing is none.</summary>
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void No_point_is_without_charge(int rule)
    {
        foreach (double smallest in new[] { 0, 0.2 })
        {
            foreach (int halves in Enumerable.Range(1, 25))
            {
                LineCut[] cuts = Place((AxisRule)rule, [new RowCut(0, 0, halves * Step / 2, halves * PointCharge / 2), new RowCut(1, Step, Step, 0), new RowCut(2, -Step, 3 * Step, 4 * PointCharge)], smallest);
                Assert.All(cuts, c => Assert.True(c.Charge > 0 && c.Points > 0, $"{halves}: {c}"));
            }
        }
    }

    private static LineCut[] Place(AxisRule rule, RowCut[] rows, double smallest)
    {
        var cuts = new CutList();
        var axis = new AxisPlan(rule, Step, new PointGrid(0, Code), new PointGrid(0, Step));
        new PointPlacer().Append(rows, axis, PointCharge, smallest, cuts);
        return [.. cuts.Cuts];
    }

    private static double Moment(LineCut[] cuts) => cuts.Sum(c => c.Charge * ((double)c.First + c.Last) / 2);
}
