using PatternCompiler.Geometry;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Reports;
using PatternCompiler.Tests.Passes;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Reports;

public sealed class DoseTallyTests
{
    [Fact]
    public void Doses_areas_and_charges_are_told_apart_by_layer_and_kind()
    {
        // 2 µm x 1 µm at factor 1, 1 µm x 1 µm at factor 1.5; a line of 5 µm and two dots on the other layer; grid 1 nm.
        FiguresDocument figures = new(
            new FiguresHeader(1000, ["pads", "wires"]),
            [
                Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(0, 0, 2000, 1000)),
                Figure.FromTrapezoid(0, DoseFactor.FromValue(1.5), Trapezoid.FromRectangle(0, 2000, 1000, 3000)),
                Figure.FromLine(1, DoseFactor.One, new GridPoint(0, 0), new GridPoint(3000, 4000)),
                Figure.FromDot(1, DoseFactor.One, new GridPoint(0, 0)),
                Figure.FromDot(1, DoseFactor.FromValue(0.5), new GridPoint(100, 0)),
            ]);
        FillOptions options = StageOptions.Fill(DefaultFiles.Job, DefaultFiles.Machine, DefaultFiles.Process);
        var tally = new DoseTally(figures, options);
        FillPass.Run(figures, options, tally, new(), CancellationToken.None);
        DoseRow[] rows = [.. tally.ToRows()];
        Assert.Equal(
            [("pads", FigureKind.Trapezoid, 2L), ("wires", FigureKind.Line, 1L), ("wires", FigureKind.Dot, 2L)],
            rows.Select(row => (row.Layer, row.Kind, row.Figures)));

        // The built-in process: 300 µC/cm² = 3 C/m², 1.5 nC/cm = 1.5e-7 C/m, 20 fC.
        Near(3e-12, rows[0].Amount);
        Near(3.0, rows[0].LowestDose);
        Near(4.5, rows[0].HighestDose);
        Near(2e-12 * 3 + 1e-12 * 4.5, rows[0].ChargeCoulombs);
        Near(3.5, rows[0].MeanDose);
        Near(5e-6, rows[1].Amount);
        Near(5e-6 * 1.5e-7, rows[1].ChargeCoulombs);
        Near(1.5e-7, rows[1].MeanDose);
        Near(2, rows[2].Amount);
        Near(30e-15, rows[2].ChargeCoulombs);
        Assert.True(rows.All(row => row.Points > 0));
    }

    [Fact]
    public void Base_doses_of_a_layer_go_before_those_of_the_process()
    {
        FiguresDocument figures = new(new FiguresHeader(1000, ["pads"]), [Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(0, 0, 2000, 1000))]);
        Job job = JobFile.Parse("job: a\nlayers: [{layer: pads, area_dose: 100 uC/cm2, dose_factor: 2}]\n", null);
        DoseRow row = Assert.Single(new DoseTally(figures, StageOptions.Fill(job, DefaultFiles.Machine, DefaultFiles.Process)).ToRows());
        Near(2, row.HighestDose);
    }

    private static void Near(double expected, double found) => Assert.InRange(found, expected * (1 - 1e-9), expected * (1 + 1e-9));
}
