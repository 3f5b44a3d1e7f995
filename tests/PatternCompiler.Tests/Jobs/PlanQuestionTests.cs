using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Plan;

namespace PatternCompiler.Tests.Jobs;

/// <summary>What is asked of a plan: every beam in every field, in the units of the tables, and no more than 10,000 pairs.</summary>
public sealed class PlanQuestionTests
{
    [Fact]
    public void Tables_are_read_in_their_units()
    {
        PlanQuestion asked = PlanQuestion.Of(50, DefaultFiles.Machine, Table("current [nA], spot [nm]\n0.5, 20\n2, 35\n"), Table("field [mm], magnification\n0.1, 1000\n0.25, 400\n"));
        Assert.Equal([new(0.5e-9, 20), new(2e-9, 35)], asked.Beams, (a, b) => Math.Abs(a.CurrentAmperes - b.CurrentAmperes) < 1e-18 && a.SpotNanometres == b.SpotNanometres);
        Assert.Equal([new(100_000, 1000), new(250_000, 400)], asked.Fields, (a, b) => Math.Abs(a.WidthNanometres - b.WidthNanometres) < 1e-6 && a.Magnification == b.Magnification);
        Assert.Null(PlanQuestion.Of(50, DefaultFiles.Machine, null, Table("field [um]\n80\n")).Fields[0].Magnification);
        PlanQuestion usual = PlanQuestion.Of(50, DefaultFiles.Machine, null, null);
        Assert.Equal((DefaultFiles.Machine.Beam.CurrentAmperes, DefaultFiles.Machine.Beam.SpotNanometres), (usual.Beams[0].CurrentAmperes, usual.Beams[0].SpotNanometres));
        Assert.Equal(DefaultFiles.Machine.Deflection.FieldWidthNanometres, usual.Fields[0].WidthNanometres);
    }

    [Theory]
    [InlineData(100, 100, true)]
    [InlineData(1, 10_000, true)]
    [InlineData(73, 137, false)]
    [InlineData(10_001, 1, false)]
    [InlineData(1, 10_001, false)]
    public void Ten_thousand_pairs_are_the_most(int beams, int fields, bool isTaken)
    {
        MeasurementTable currents = Table("current [pA], spot [nm]\n" + string.Concat(Enumerable.Range(1, beams).Select(i => $"{i}, 20\n")));
        MeasurementTable widths = Table("field [um]\n" + string.Concat(Enumerable.Range(1, fields).Select(i => $"{i}\n")));
        Assert.Equal(
            isTaken ? null : $"{beams} beams and {fields} fields are more than 10000 pairs",
            (Record.Exception(() => PlanQuestion.Of(50, DefaultFiles.Machine, currents, widths)) as CompileException)?.Diagnostic.Message);
    }

    private static MeasurementTable Table(string text) => MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "t");
}
