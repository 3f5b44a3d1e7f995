using CsCheck;
using PatternCompiler.Passes.Fill;

namespace PatternCompiler.Tests.Passes.Fill;

public class CutListTests
{
    /// <summary>Every total is within half a charge of what was due so far, every run has a charge, and the last makes the whole exact.</summary>
    [Fact]
    public void Running_totals_are_rounded_and_no_run_is_without_a_charge()
    {
        Gen.Double[0, 3].Array[1, 30].Sample(
            charges =>
            {
                var list = new CutList();
                double due = 0;
                for (int i = 0; i < charges.Length; i++)
                {
                    list.Add(i, 2 * i, 3 * i, i + 1, charges[i]);
                    due += charges[i];
                    long given = Sum(list);
                    Assert.InRange(given - due, -0.5, 0.5);
                }

                foreach (LineCut cut in list.Cuts)
                {
                    Assert.True(cut.Charge > 0);
                    Assert.Equal((2 * cut.V, 3 * cut.V, cut.V + 1), (cut.First, cut.Last, cut.Points));
                }

                long total = (long)Math.Round(due) + 2;
                list.Complete(total);
                Assert.Equal(list.Count == 0 ? 0 : total, Sum(list));
            },
            iter: Iterations.Usually(300));
    }

    [Fact]
    public void A_run_without_a_charge_waits_for_the_next_and_half_a_charge_is_one()
    {
        var list = new CutList();
        list.Add(1, 0, 4, 5, 0.25);
        Assert.Equal(0, list.Count);
        list.Add(2, 0, 4, 5, 0.25);
        list.Add(3, 0, 4, 5, 0.5);
        list.Add(4, 0, 4, 5, 0.5);
        Assert.Equal([new LineCut(2, 0, 4, 5, 1), new LineCut(4, 0, 4, 5, 1)], list.Cuts.ToArray());
        list.Complete(0);
        Assert.Equal([1, 0], list.Cuts.ToArray().Select(cut => cut.Charge));
        list.Clear();
        list.Add(5, 1, 2, 3, 0.5);
        Assert.Equal([new LineCut(5, 1, 2, 3, 1)], list.Cuts.ToArray());
    }

    private static long Sum(CutList list) => list.Cuts.ToArray().Sum(cut => cut.Charge);
}
