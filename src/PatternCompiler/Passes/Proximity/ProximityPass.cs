using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Corrects doses for scattered electrons. Doses are multiplied by target over energy until all energies meet their
/// targets (self-consistent dose: M. Parikh, J. Appl. Phys. 50, 4371 (1979)); forward energy is exact, shape by
/// shape, but where thousands of small figures crowd it is right to 3·10⁻⁴ of a large area's at the largest dose nearby (<see cref="ForwardTiles"/>); long-range
/// energy comes from a density map. The target is the energy at which the resist prints: with
/// a base dose of twice that, a large area's edge at dose factor 1 needs no correction. Where a part of the film is to remain,
/// the target is the energy that leaves it.
/// </summary>
internal static class ProximityPass
{
    /// <summary>Corners and slivers stay out of reach of any dose; more than this part of all edges is worth a warning.</summary>
    private const double AllowedOutside = 0.02;

    private const int StandingIterations = 3;
    private const double StandingRatio = 0.98;

    // Of the errors from one iteration to the next. Errors that fall slowly, and are not small yet, are worth steps that are led on.
    private const double SlowRatio = 0.8;

    /// <summary>Corrects a document; layer and drawn dose factors stay, and the correction multiplies them.</summary>
    public static (FiguresDocument Figures, ProximityReport Report) Run(
        FiguresDocument input, ProximityOptions options, DiagnosticSink sink, CancellationToken cancellation)
    {
        if (input.Figures.Count == 0)
        {
            return (input, new ProximityReport(0, 0, 0, 0, 0, 0, [.. new int[ProximityReport.HistogramEdges.Length + 1]], 1, 1));
        }

        if (options.Spread.Terms[0].Shape != SpreadShape.Gaussian)
        {
            throw new CompileException(
                ProximityCodes.ForwardNotGaussian, "the first term of the spread is not a Gaussian", fix: "list the forward Gaussian first");
        }

        var field = ScatteredField.Prepare(input, options, cancellation);
        (float[] corrections, int iterations) = Iterate(field, options, cancellation);
        if (options.DoseClasses > 0)
        {
            Classify(corrections, field, options.DoseClasses);
            field.Update(corrections, cancellation);
        }

        ProximityReport report = Report(field, input.Figures.Count, iterations, options.Tolerance, corrections);
        if (report.OutsideTolerance > AllowedOutside)
        {
            int worst = Errors(field, options.Tolerance).Worst;
            (double X, double Y) inner = FigureCorners.InnerPoint(field.Figures[worst]);
            double nanometres = input.Header.GridPicometres / 1000.0;
            sink.Warn(
                ProximityCodes.ToleranceNotMet,
                $"{report.OutsideTolerance * 100:0.#}% of all edges miss the energy tolerance of {options.Tolerance * 100:0.##}%, the worst by {report.LargestError * 100:0.#}%",
                SourcePlace.OfPoint(input.Header.Layers[field.Figures[worst].Layer], inner.X * nanometres, inner.Y * nanometres, worst),
                "allow smaller pieces, more iterations or more dose classes; features thinner than the forward range cannot be corrected by dose alone");
        }

        if (field.LargestMapError > options.Tolerance)
        {
            sink.Warn(
                ProximityCodes.BackgroundTooCoarse,
                $"the drawing is so wide against its scattering that the background at edges may be wrong by {field.LargestMapError * 100:0.#}%, more than the tolerance of {options.Tolerance * 100:0.##}%",
                fix: "correct parts that lie far apart one by one, in a job each");
        }

        ReliefMisses.Report(field, options, input.Header, sink);
        return (new FiguresDocument(input.Header, new CorrectedFigures(field.Figures, corrections)), report);
    }

    // The field has the energies of the corrections when it ends.
    private static (float[] Corrections, int Iterations) Iterate(ScatteredField field, ProximityOptions options, CancellationToken cancellation)
    {
        var corrections = new float[field.Figures.Count];
        Array.Fill(corrections, 1f);
        var steps = new AcceleratedSteps(field);
        double previous = double.PositiveInfinity;
        int standing = 0;
        for (int iteration = 0; ; iteration++)
        {
            cancellation.ThrowIfCancellationRequested();
            field.Update(corrections, cancellation);
            (double largest, double rootMeanSquare, _, _) = Errors(field, options.Tolerance);

            // What no dose can fix (corners, slivers) keeps the error up: further iterations would only amplify it.
            bool isStanding = rootMeanSquare > StandingRatio * previous;
            standing = isStanding ? standing + 1 : 0;
            if (largest <= options.Tolerance / 2 || standing == StandingIterations || iteration == options.LargestIterations)
            {
                return (corrections, iteration);
            }

            bool isSlow = !isStanding && rootMeanSquare > SlowRatio * previous && rootMeanSquare > options.Tolerance / 2;
            steps.Take(corrections, isSlow, cancellation);
            previous = rootMeanSquare;
        }
    }

    private static (double Largest, double RootMeanSquare, double OutsideTolerance, int Worst) Errors(ScatteredField field, double tolerance)
    {
        double largest = 0;
        int worst = 0;
        double squares = 0;
        double outside = 0;
        double total = 0;
        for (int figure = 0; figure < field.Figures.Count; figure++)
        {
            double error = Math.Abs(field.MeanEnergyOverTarget(figure) - 1);
            double length = field.LengthOf(figure);
            (largest, worst) = error > largest ? (error, figure) : (largest, worst);
            squares += length * error * error;
            outside += error > tolerance ? length : 0;
            total += length;
        }

        return (largest, Math.Sqrt(squares / total), outside / total, worst);
    }

    // Classes stand in equal ratios between the smallest and the largest correction; each correction takes the nearest that
    // the machine can write.
    private static void Classify(float[] corrections, ScatteredField field, int classes)
    {
        double low = Math.Log(corrections.Min());
        double high = Math.Log(corrections.Max());
        for (int i = 0; i < corrections.Length; i++)
        {
            double step = classes == 1 ? 0 : (high - low) / (classes - 1);
            double level = step == 0 ? 0 : Math.Round((Math.Log(corrections[i]) - low) / step);
            double nearest = LevelAt(level);
            corrections[i] = (float)(step > 0 && nearest < field.SmallestCorrectionOf(i) ? LevelAt(level + 1) : nearest);

            double LevelAt(double number) => Math.Exp(step == 0 ? (low + high) / 2 : low + number * step);
        }
    }

    private static ProximityReport Report(
        ScatteredField field, int figuresBefore, int iterations, double tolerance, float[] corrections)
    {
        var histogram = new int[ProximityReport.HistogramEdges.Length + 1];
        for (int figure = 0; figure < field.Figures.Count; figure++)
        {
            double error = field.MeanEnergyOverTarget(figure) - 1;
            int bin = 0;
            while (bin < ProximityReport.HistogramEdges.Length && error >= ProximityReport.HistogramEdges[bin])
            {
                bin++;
            }

            histogram[bin]++;
        }

        (double largest, double rootMeanSquare, double outside, _) = Errors(field, tolerance);
        return new ProximityReport(
            figuresBefore,
            field.Figures.Count,
            iterations,
            largest,
            rootMeanSquare,
            outside,
            [.. histogram],
            corrections.Min(),
            corrections.Max());
    }
}
