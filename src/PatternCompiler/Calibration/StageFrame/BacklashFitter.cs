using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.StageFrame;

/// <summary>Fits how far a move to smaller readings ends short: by so much a mark's reading falls where the stage comes down to it.</summary>
internal static class BacklashFitter
{
    // A negative one within so many standard errors is none.
    private const double Doubtful = 4;

    /// <summary>Fits the backlash along one axis of the stage.</summary>
    /// <param name="readings">Readings from both sides.</param>
    /// <param name="stage">The frame, for readings from the side that most have in common.</param>
    /// <param name="isX">The axis is x.</param>
    /// <param name="isAbove">The common side.</param>
    /// <returns>The backlash in nanometres; null where all readings come from one side.</returns>
    public static FitParameter? Fit(IReadOnlyList<StageReading> readings, Stage stage, bool isX, bool isAbove)
    {
        double[] shortfalls = [.. readings.Where(IsOther).Select(ShortOf)];
        if (shortfalls.Length == 0)
        {
            return null;
        }

        string name = isX ? "backlash-x" : "backlash-y";
        LinearFit? fit = Regression(readings, isX);
        FitParameter parameter = fit is not null
            ? ConfidenceInterval.Symmetric(name, "nm", -fit.Coefficients[^1], fit.StandardError(fit.Coefficients.Length - 1), fit.DegreesOfFreedom)
            : ConfidenceInterval.Symmetric(name, "nm", shortfalls.Average(), double.NaN, 0);
        return parameter.Value >= 0 ? parameter
            : parameter.Value > -Doubtful * parameter.StandardError ? parameter with { Value = 0 }
            : throw new CompileException(
                CalibrationCodes.Contradiction,
                string.Create(System.Globalization.CultureInfo.InvariantCulture, $"the stage reads {-parameter.Value:0.#} nm more in {(isX ? "x" : "y")} where it has come down to a mark, and backlash makes it read less"),
                fix: $"look whether 'from {(isX ? "x" : "y")}' says the side that the stage came from: below where the reading rose towards the mark");

        bool IsOther(StageReading reading) => (isX ? reading.FromAboveX : reading.FromAboveY) != isAbove;

        double ShortOf(StageReading reading)
        {
            (double x, double y) = stage.ReadingAt(reading.Under.X, reading.Under.Y);
            double more = isX ? x - reading.ReadingX : y - reading.ReadingY;
            return isAbove ? -more : more;
        }
    }

    /// <summary>The axis' readings by the places under the beam and the side, with all their errors; null where they do not tell so much with one to spare.</summary>
    private static LinearFit? Regression(IReadOnlyList<StageReading> readings, bool isX)
    {
        const int Columns = 4;
        if (readings.Count <= Columns)
        {
            return null;
        }

        (double middleX, double middleY) = (readings.Average(r => r.Under.X), readings.Average(r => r.Under.Y));
        double spread = Math.Max(1, Math.Sqrt(readings.Average(r => Math.Pow(r.Under.X - middleX, 2) + Math.Pow(r.Under.Y - middleY, 2))));
        double zero = readings.Average(r => isX ? r.ReadingX : r.ReadingY);
        var design = new double[readings.Count, Columns];
        for (int i = 0; i < readings.Count; i++)
        {
            StageReading reading = readings[i];
            (design[i, 0], design[i, 1], design[i, 2]) = (1, (reading.Under.X - middleX) / spread, (reading.Under.Y - middleY) / spread);
            design[i, Columns - 1] = (isX ? reading.FromAboveX : reading.FromAboveY) ? 1 : 0;
        }

        try
        {
            return LinearFit.Solve(design, [.. readings.Select(r => (isX ? r.ReadingX : r.ReadingY) - zero)]);
        }
        catch (CompileException fault) when (fault.Diagnostic.Code == CalibrationCodes.Undetermined)
        {
            return null;
        }
    }
}
