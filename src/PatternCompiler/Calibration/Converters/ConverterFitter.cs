using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Converters;

/// <summary>
/// Fits what two outputs really give. A reading is the level of its code plus crosstalk times what the other output gives of its own:
/// every code has a level of its own, because carries jump, so that crosstalk follows from readings at one code with the other output
/// moved. Gain and offset are those of the straight line through all levels.
/// </summary>
internal static class ConverterFitter
{
    private const int MostReadings = 100_000;

    // More of them are no readings with misread ones among them: common practice, no source.
    private const double MostLeftOut = 0.1;

    /// <summary>Readings may scatter by this many of the meter's errors before a word is said: common practice, no source.</summary>
    private const double LargestScatter = 2;

    /// <summary>An error that is stated is known as well as one of so many readings.</summary>
    private const int StatedDegreesOfFreedom = 1_000_000;

    /// <summary>Fits readings of both outputs.</summary>
    /// <param name="readings">In steps of the machine's converters.</param>
    /// <param name="dac">The converters.</param>
    /// <param name="isFromPlaces">They are places on the sample: the straight line and crosstalk are the field's.</param>
    /// <param name="placeOf">Where a reading stands, for warnings.</param>
    /// <param name="sink">Takes warnings.</param>
    public static ConverterFit Fit(IReadOnlyList<ConverterReading> readings, Dac dac, bool isFromPlaces, Func<int, SourcePlace> placeOf, DiagnosticSink sink)
    {
        if (readings.Count > MostReadings)
        {
            throw new CompileException(CalibrationCodes.BadTable, $"{readings.Count} readings are too many to fit; at most {MostReadings} are fitted", fix: "fit a part of them");
        }

        ConverterCheck.RequireBoth(readings);
        double middle = (dac.FullScale == DacFullScale.OneBeyondLastCode ? dac.CodeCount : dac.CodeCount - 1) / 2.0;
        var outputs = new Dictionary<char, Output>();
        foreach (char axis in "xy")
        {
            ConverterReading[] own = [.. readings.Where(r => r.Axis == axis).OrderBy(r => r.Code).ThenBy(r => r.Other).ThenBy(r => r.Row)];
            outputs[axis] = new Output(own, ConverterCheck.Gain(own, axis, dac), middle);
        }

        return new ConverterFit(Fit(outputs['x'], outputs['y'], dac, isFromPlaces, placeOf, sink), Fit(outputs['y'], outputs['x'], dac, isFromPlaces, placeOf, sink), dac.LsbVolts)
        {
            IsFromPlaces = isFromPlaces,
        };
    }

    private static OutputFit Fit(Output output, Output other, Dac dac, bool isFromPlaces, Func<int, SourcePlace> placeOf, DiagnosticSink sink)
    {
        char axis = output.Readings[0].Axis;
        double rough = output.RoughCrosstalk(other);
        double error = output.ErrorSteps(other, rough);
        (CodeRange usable, bool clipsLow, bool clipsHigh) = isFromPlaces
            ? (new(0, dac.CodeCount - 1), false, false)
            : UsableCodes.Of(output.Readings, output.Gain, error, dac.CodeCount);
        ConverterCheck.RequireUsable(usable, axis, dac);
        ConverterReading[] followed = [.. output.Readings.Where(r => usable.Holds(r.Code))];
        double gain = ConverterCheck.Gain(followed, axis, dac);
        ConverterReading[] used = LeaveOut(followed, [.. followed.Select(r => r.Steps - gain * r.Code - rough * other.AwayAt(r.Other))], dac, placeOf, sink);
        ConverterCheck.RequireAgreement(used, error, dac);

        // A picture shows a part of the field and says nothing of the rest.
        return Describe(used, other, dac, isFromPlaces, sink) with
        {
            Usable = isFromPlaces ? usable : new(used.Min(r => r.Code), used.Max(r => r.Code)),
            Clips = (clipsLow, clipsHigh),
        };
    }

    /// <summary>Names what stands apart, and goes on without it.</summary>
    private static ConverterReading[] LeaveOut(ConverterReading[] readings, double[] deviations, Dac dac, Func<int, SourcePlace> placeOf, DiagnosticSink sink)
    {
        IReadOnlyList<(int Index, double Steps)> apart = ConverterOutliers.Of(readings, deviations, UsableCodes.CarrySteps(dac.CodeCount));
        if (apart.Count > MostLeftOut * readings.Length)
        {
            throw new CompileException(
                CalibrationCodes.NotConverged,
                $"{apart.Count} of {readings.Length} readings of output {readings[0].Axis} stand apart from those of the codes beside them: no output explains them",
                fix: "look for exchanged columns or codes in another coding; codes count from 0, the lowest voltage");
        }

        foreach ((int index, double steps) in apart)
        {
            ConverterReading reading = readings[index];
            sink.Warn(
                CalibrationCodes.ReadingLeftOut,
                $"measurement {reading.Row + 1} (output {reading.Axis}, code {reading.Code}, {QuantityText.Format(dac.MinimumVolts + reading.Steps * dac.LsbVolts, Dimension.Voltage, 6)}) is left out: it lies {QuantityText.Format(steps * dac.LsbVolts, Dimension.Voltage, 3)} off what the codes beside it give",
                placeOf(reading.Row),
                "look for a misread digit, and read it again");
        }

        HashSet<int> left = [.. apart.Select(a => a.Index)];
        return [.. readings.Where((_, i) => !left.Contains(i))];
    }

    private static OutputFit Describe(ConverterReading[] readings, Output other, Dac dac, bool isFromPlaces, DiagnosticSink sink)
    {
        char axis = readings[0].Axis;
        CodeGroup[] groups = [.. readings.GroupBy(r => r.Code).Select(g => CodeGroup.Of([.. g], other))];
        double squares = groups.Sum(g => g.OtherSquares), products = groups.Sum(g => g.Products);
        bool hasCrosstalk = squares > 0;
        double crosstalk = hasCrosstalk ? products / squares : 0;
        if (!hasCrosstalk && !isFromPlaces)
        {
            sink.Warn(
                CalibrationCodes.CrosstalkNotTold,
                $"no code of output {axis} was read with the other output at more than one code, which tells nothing of crosstalk",
                fix: "read some codes with the other output at both of its ends");
        }

        double[] residuals = [.. groups.SelectMany(g => g.Residuals(crosstalk))];
        int spare = readings.Length - groups.Length - (hasCrosstalk ? 1 : 0);
        double rootMeanSquare = Math.Sqrt(residuals.Sum(r => r * r) / readings.Length);
        bool isStated = readings.All(r => !double.IsNaN(r.ErrorSteps));
        double scatter = spare > 0 ? Math.Sqrt(groups.Sum(g => g.WeightedSquares(crosstalk)) / spare) : double.NaN;
        int freedom = isStated ? StatedDegreesOfFreedom : spare;

        // With stated errors, weights are their inverse squares and the unit of weight is one; without, all weigh one.
        double unit = isStated ? 1 : scatter;
        if (isStated && scatter > LargestScatter)
        {
            sink.Warn(
                CalibrationCodes.ReadingsScatter,
                $"readings of output {axis} scatter {scatter:0.#} times as far as the stated error of the meter",
                fix: "wait longer until the output has settled, or state a larger error");
        }
        else if (!isStated && spare == 0 && !isFromPlaces)
        {
            sink.Warn(
                CalibrationCodes.NoSpareMeasurement,
                $"output {axis} was read as often as its fit needs, so nothing is known of the error of the readings",
                fix: "state the meter's with --meter-error, or read each code with the other output at both of its ends");
        }

        ImmutableArray<OutputLevel> levels =
        [
            .. groups.OrderBy(g => g.Code).Select(g => new OutputLevel(g.Code, g.Mean - crosstalk * g.MeanOther - g.Code, unit / Math.Sqrt(g.Weight), g.Count)),
        ];
        RequireRising(levels, axis);
        return OfLevels(levels, axis, dac, isFromPlaces) with
        {
            Crosstalk = hasCrosstalk ? ConfidenceInterval.Symmetric($"{axis}-from-{(axis == 'x' ? 'y' : 'x')}", "", crosstalk, unit / Math.Sqrt(squares), freedom) : null,
            Residuals = (readings.Length, rootMeanSquare, residuals.Max(Math.Abs)),
            DegreesOfFreedom = freedom,
        };
    }

    private static OutputFit OfLevels(ImmutableArray<OutputLevel> levels, char axis, Dac dac, bool isBentAlone)
    {
        double span = dac.CodeCount, middle = (dac.FullScale == DacFullScale.OneBeyondLastCode ? span : span - 1) / 2;
        var design = new double[levels.Length, 2];
        for (int i = 0; i < levels.Length; i++)
        {
            (design[i, 0], design[i, 1]) = (1, (levels[i].Code - middle) / span);
        }

        LinearFit line = LinearFit.Solve(design, [.. levels.Select(level => level.DeviationSteps)]);
        int furthest = Enumerable.Range(0, levels.Length).MaxBy(i => Math.Abs(line.Residuals[i]));
        double millivolts = 1000 * dac.LsbVolts, percent = 100 / span;
        return new OutputFit(axis)
        {
            GainError = ConfidenceInterval.Symmetric($"{axis}-gain-error", "%", line.Coefficients[1] * percent, line.StandardError(1) * percent, line.DegreesOfFreedom),
            Offset = ConfidenceInterval.Symmetric($"{axis}-offset", "mV", line.Coefficients[0] * millivolts, line.StandardError(0) * millivolts, line.DegreesOfFreedom),
            LargestNonlinearity = (levels[furthest].Code, line.Residuals[furthest]),
            Levels = isBentAlone ? [.. levels.Select((level, i) => level with { DeviationSteps = line.Residuals[i] })] : levels,
            Crosstalk = null,
            Usable = default,
            Clips = default,
            Residuals = default,
            DegreesOfFreedom = 0,
        };
    }

    private static void RequireRising(ImmutableArray<OutputLevel> levels, char axis)
    {
        if (CodeLinearity.FaultOf([.. levels.Select(level => (level.Code, level.DeviationSteps))]) is int line)
        {
            throw new CompileException(
                CalibrationCodes.Contradiction,
                $"output {axis} falls from code {levels[line - 1].Code} to {levels[line].Code} by {-(levels[line].Code + levels[line].DeviationSteps - levels[line - 1].Code - levels[line - 1].DeviationSteps):0.##} steps, which no carry explains",
                fix: "look for a misread line, and read both sides of a carry at codes that follow each other; a converter that falls otherwise cannot be corrected");
        }
    }

    /// <summary>Readings of one output by rising code, and how steeply it rises.</summary>
    private sealed record Output(ConverterReading[] Readings, double Gain, double Middle)
    {
        private readonly Dictionary<int, double> measured = Readings.GroupBy(r => r.Code).ToDictionary(g => g.Key, g => ConverterOutliers.Median(g.Select(r => r.Steps)));
        private readonly double offset = ConverterOutliers.Median(Readings.Select(r => r.Steps - Middle - Gain * (r.Code - Middle)));

        /// <summary>By how many steps the output is away from the middle of its range at a code, as it was read, or else along its line.</summary>
        public double AwayAt(int code) => measured.TryGetValue(code, out double steps) ? steps - Middle : offset + Gain * (code - Middle);

        /// <summary>The middle one of what pairs of readings at one code tell of crosstalk, which few misread ones do not move.</summary>
        public double RoughCrosstalk(Output other)
        {
            double[] all = [.. Pairs(other).Where(pair => pair.Away != 0).Select(pair => pair.Steps / pair.Away)];
            return all.Length == 0 ? 0 : ConverterOutliers.Median(all);
        }

        /// <summary>Standard error of a reading: the largest that is stated, or what pairs of readings at one code tell; 0 if there are few, which says nothing.</summary>
        public double ErrorSteps(Output other, double crosstalk)
        {
            const double ErrorPerMedianOfDifferences = 1.4826 / 1.41421356237;
            const int FewestPairs = 8;
            double stated = Readings.Max(r => r.ErrorSteps);
            if (!double.IsNaN(stated))
            {
                return stated;
            }

            double[] differences = [.. Pairs(other).Select(pair => Math.Abs(pair.Steps - crosstalk * pair.Away))];
            return differences.Length < FewestPairs ? 0 : ErrorPerMedianOfDifferences * ConverterOutliers.Median(differences);
        }

        private IEnumerable<(double Away, double Steps)> Pairs(Output other) =>
            Readings.Zip(Readings.Skip(1)).Where(pair => pair.First.Code == pair.Second.Code)
                .Select(pair => (other.AwayAt(pair.Second.Other) - other.AwayAt(pair.First.Other), pair.Second.Steps - pair.First.Steps));
    }

    /// <summary>Readings of one code, about their own means.</summary>
    private sealed record CodeGroup(int Code, int Count, double Weight, double Mean, double MeanOther, (double Weight, double Steps, double Away)[] About)
    {
        public double OtherSquares => About.Sum(a => a.Weight * a.Away * a.Away);

        public double Products => About.Sum(a => a.Weight * a.Away * a.Steps);

        public IEnumerable<double> Residuals(double crosstalk) => About.Select(a => a.Steps - crosstalk * a.Away);

        public double WeightedSquares(double crosstalk) => About.Sum(a => a.Weight * (a.Steps - crosstalk * a.Away) * (a.Steps - crosstalk * a.Away));

        public static CodeGroup Of(ConverterReading[] readings, Output other)
        {
            double[] weights = [.. readings.Select(r => double.IsNaN(r.ErrorSteps) ? 1 : 1 / (r.ErrorSteps * r.ErrorSteps))];
            double[] away = [.. readings.Select(r => other.AwayAt(r.Other))];
            double weight = weights.Sum();
            double mean = readings.Zip(weights, (r, w) => w * r.Steps).Sum() / weight, meanAway = away.Zip(weights, (a, w) => w * a).Sum() / weight;

            // Codes that are the same need no rounding to be told to be.
            bool isMoved = readings.Any(r => r.Other != readings[0].Other);
            return new CodeGroup(
                readings[0].Code, readings.Length, weight, mean, meanAway,
                [.. readings.Select((r, i) => (weights[i], r.Steps - mean, isMoved ? away[i] - meanAway : 0.0))]);
        }
    }
}
