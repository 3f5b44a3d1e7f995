using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.BlankerCurrent;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;

namespace PatternCompiler.Oracles.Calibration;

/// <summary>
/// The response of a switched beam by SciPy 1.10.1's integration of its differential equation in time (<c>integrate.solve_ivp</c>), and the fit of a
/// table by its <c>optimize.least_squares</c>: <c>blanker_reference.py</c> beside this file prints the values expected here.
/// </summary>
public sealed class BlankerReferenceTests
{
    private const string Table = "on [us], off [us], deflection, current [pA]\n1, 0, held, 203.0000\n0, 1, held, 0.8318\n0.4, 0.4, held, 82.2857\n0.4, 20, held, 3.9878\n20, 0.4, held, 198.2536\n1, 1, held, 93.8360\n1, 20, held, 9.6559\n20, 1, held, 192.5894\n4, 4, held, 99.9013\n4, 20, held, 33.8440\n20, 4, held, 168.6088\n0.4, 20, leaves, 1.1942\n1, 20, leaves, 6.7995\n4, 20, leaves, 31.3038\n20, 0.4, enters, 2.1574\n20, 1, enters, 2.1640\n20, 4, enters, 2.0063\n";

    [Theory]
    [InlineData(3, 4, 0.5, 0.4, 0.2, 0.3, 0.414285690528, 0.357142981305, 0.057142709222)]
    [InlineData(0.6, 9, 0.7, 0.9, 0.4, 0.1, 0.085331078996, 0.009265273031, 0.076065805965)]
    [InlineData(9, 0.6, 0.7, 0.9, 0.1, 0.5, 0.949920978417, 0.891083480815, 0.058837497602)]
    [InlineData(0.5, 0.5, 0.3, 0.35, 0.25, 0.3, 0.535987426145, 0.285417009527, 0.250570416618)]
    [InlineData(2, 2, 1.5, 1.2, 0.9, 1.1, 0.412099639108, 0.204621982779, 0.207477656329)]
    public void Means_of_a_switched_beam(double on, double off, double onDelay, double offDelay, double rise, double fall, double mean, double whileOn, double whileOff)
    {
        var beam = new SwitchedBeam(on, off, onDelay, offDelay, rise, fall);
        Assert.Equal(mean, beam.Mean, 1e-9);
        Assert.Equal(whileOn, beam.MeanWhileOn, 1e-9);
        Assert.Equal(whileOff, beam.MeanWhileOff, 1e-9);
    }

    [Fact]
    public void A_table_of_mean_currents()
    {
        MeasurementTable table = MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(Table)), "table", [.. CupReadings.WordColumns]);
        BlankerCurrentFit fit = BlankerCurrentFitter.Fit(CupReadings.Of(table), new DiagnosticSink());
        Assert.Equal(202.9947266, fit.Current.Value, 1e-4);
        Assert.Equal(100 * 0.003997594812, fit.Leak!.Value, 1e-5);
        Assert.Equal(0.3000700846, fit.OnDelay!.Value, 1e-6);
        Assert.Equal(0.220303973, fit.OffDelay!.Value, 1e-6);
        Assert.Equal(BlankerEdges.TimePerConstant * 0.1218148392, fit.Rise!.Value, 1e-5);
        Assert.Equal(BlankerEdges.TimePerConstant * 0.08517571156, fit.Fall!.Value, 1e-5);
        Assert.Equal(0.002512106898, fit.RootMeanSquarePicoamperes * fit.RootMeanSquarePicoamperes * table.Count, 1e-8);
    }
}
