using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Corrects doses for scattered electrons. Every figure's dose is multiplied by target over energy until all energies
/// meet their targets (self-consistent dose: M. Parikh, J. Appl. Phys. 50, 4371 (1979)); forward energy is exact, shape by
/// shape, long-range energy comes from a density map. The target is set so that a large area's edge at dose factor 1
/// needs no correction.
/// </summary>
public static class ProximityPass
{
    /// <summary>Corrects a document; layer and drawn dose factors stay, and the correction multiplies them.</summary>
    public static (FiguresDocument Figures, ProximityReport Report) Run(
        FiguresDocument input, ProximityOptions options, DiagnosticSink sink, CancellationToken cancellation)
    {
        if (input.Figures.Count == 0)
        {
            return (input, new ProximityReport(0, 0, 0, 0, 0, [.. new int[ProximityReport.HistogramEdges.Length + 1]], 1, 1));
        }

        if (options.Spread.Terms[0].Shape != SpreadShape.Gaussian)
        {
            throw new CompileException(
                ProximityCodes.ForwardNotGaussian, "the first term of the spread is not a Gaussian", fix: "list the forward Gaussian first");
        }

        double gridNanometres = input.Header.GridPicometres / 1000.0;
        var field = ScatteredField.Prepare(input.Figures, options, gridNanometres, cancellation);
        (double[] corrections, int iterations) = Iterate(field, options, cancellation);
        Classify(corrections, options.DoseClasses);
        field.Update(corrections);
        ProximityReport report = Report(field, input.Figures.Count, iterations, corrections);
        if (report.LargestError > options.Tolerance)
        {
            sink.Warn(
                ProximityCodes.ToleranceNotMet,
                $"the largest energy error is {report.LargestError * 100:0.##}% where {options.Tolerance * 100:0.##}% was asked for",
                fix: "allow smaller pieces, more iterations or more dose classes; features thinner than the forward range cannot be corrected by dose alone");
        }

        Figure[] corrected = [.. field.Figures.Select((figure, i) => figure with { DoseFactor = figure.DoseFactor * DoseFactor.FromValue(corrections[i]) })];
        return (new FiguresDocument(input.Header, corrected), report);
    }

    private static (double[] Corrections, int Iterations) Iterate(ScatteredField field, ProximityOptions options, CancellationToken cancellation)
    {
        var corrections = new double[field.Figures.Count];
        Array.Fill(corrections, 1.0);
        int iteration = 0;
        for (; iteration < options.LargestIterations; iteration++)
        {
            cancellation.ThrowIfCancellationRequested();
            field.Update(corrections);
            double largest = 0;
            for (int figure = 0; figure < corrections.Length; figure++)
            {
                double ratio = field.MeanEnergyOverTarget(figure);
                largest = Math.Max(largest, Math.Abs(ratio - 1));
                corrections[figure] = Math.Clamp(corrections[figure] / ratio, 0.01, 100);
            }

            if (largest <= options.Tolerance / 2)
            {
                break;
            }
        }

        return (corrections, iteration);
    }

    // Classes stand in equal ratios between the smallest and the largest correction; each correction takes the nearest.
    private static void Classify(double[] corrections, int classes)
    {
        if (classes < 1)
        {
            return;
        }

        double low = Math.Log(corrections.Min());
        double high = Math.Log(corrections.Max());
        for (int i = 0; i < corrections.Length; i++)
        {
            double step = classes == 1 ? 0 : (high - low) / (classes - 1);
            double level = step == 0 ? 0 : Math.Round((Math.Log(corrections[i]) - low) / step);
            corrections[i] = Math.Exp(step == 0 ? (low + high) / 2 : low + level * step);
        }
    }

    private static ProximityReport Report(ScatteredField field, int figuresBefore, int iterations, double[] corrections)
    {
        var histogram = new int[ProximityReport.HistogramEdges.Length + 1];
        double largest = 0;
        double squares = 0;
        for (int figure = 0; figure < field.Figures.Count; figure++)
        {
            double error = field.MeanEnergyOverTarget(figure) - 1;
            int bin = 0;
            while (bin < ProximityReport.HistogramEdges.Length && error >= ProximityReport.HistogramEdges[bin])
            {
                bin++;
            }

            histogram[bin]++;
            largest = Math.Max(largest, Math.Abs(error));
            squares += error * error;
        }

        return new ProximityReport(
            figuresBefore,
            field.Figures.Count,
            iterations,
            largest,
            Math.Sqrt(squares / field.Figures.Count),
            [.. histogram],
            corrections.Min(),
            corrections.Max());
    }
}
