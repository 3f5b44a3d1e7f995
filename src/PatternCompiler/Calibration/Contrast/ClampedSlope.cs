namespace PatternCompiler.Calibration.Contrast;

/// <summary>
/// Sum of squares of a curve that is a plateau up to one abscissa, falls straight to zero at another and stays there, for any
/// number of readings in a few steps: readings enter as sums over distinct abscissae. The height of the plateau is given, or the
/// one that leaves least.
/// </summary>
internal sealed class ClampedSlope
{
    private const int MostCandidates = 96;
    private const int GoldenSteps = 28;
    private const double GoldenPart = 0.6180339887498949;

    /// <summary>Abscissae closer than this are one.</summary>
    private const double SameAbscissa = 1e-6;

    /// <summary>How far beyond the readings a kink is looked for, in decades.</summary>
    private const double Beyond = 2;
    private readonly double? height;
    private readonly double[] abscissae;
    private readonly double[] counts;
    private readonly double[] sumsOfX;
    private readonly double[] sumsOfXX;
    private readonly double[] sumsOfY;
    private readonly double[] sumsOfXY;
    private readonly double sumOfYY;
    private readonly double[] candidates;

    /// <param name="x">Abscissae in any order.</param>
    /// <param name="y">Ordinates.</param>
    /// <param name="height">Height of the plateau; null to fit it.</param>
    public ClampedSlope(IReadOnlyList<double> x, IReadOnlyList<double> y, double? height)
    {
        this.height = height;
        int[] order = [.. Enumerable.Range(0, x.Count).OrderBy(i => x[i]).ThenBy(i => y[i])];
        var distinct = new List<double>();
        var at = new List<(double N, double X, double XX, double Y, double XY)>();
        foreach (int i in order)
        {
            if (distinct.Count == 0 || x[i] - distinct[^1] > SameAbscissa)
            {
                distinct.Add(x[i]);
                at.Add(default);
            }

            double place = distinct[^1];
            (double n, double sx, double sxx, double sy, double sxy) = at[^1];
            at[^1] = (n + 1, sx + place, sxx + place * place, sy + y[i], sxy + place * y[i]);
            sumOfYY += y[i] * y[i];
        }

        abscissae = [.. distinct];
        counts = Running(at.Select(s => s.N));
        sumsOfX = Running(at.Select(s => s.X));
        sumsOfXX = Running(at.Select(s => s.XX));
        sumsOfY = Running(at.Select(s => s.Y));
        sumsOfXY = Running(at.Select(s => s.XY));
        candidates = Candidates();
    }

    /// <summary>Number of distinct abscissae.</summary>
    public int Count => abscissae.Length;

    /// <summary>Distinct abscissae strictly between two places.</summary>
    public int CountBetween(double top, double end) => abscissae.Count(x => x > top + SameAbscissa && x < end - SameAbscissa);

    /// <summary>Sum of squares with the kinks at two abscissae; infinite where they make no slope.</summary>
    public double Squares(double top, double end, double? plateau = null)
    {
        if (!(end - top > SameAbscissa))
        {
            return double.PositiveInfinity;
        }

        int first = Below(top, true);
        int last = Below(end, false);
        double width = end - top;
        double n = counts[last] - counts[first];
        double sx = sumsOfX[last] - sumsOfX[first];
        double sxx = sumsOfXX[last] - sumsOfXX[first];
        double square = counts[first] + (end * end * n - 2 * end * sx + sxx) / (width * width);
        double product = sumsOfY[first]
            + (end * (sumsOfY[last] - sumsOfY[first]) - (sumsOfXY[last] - sumsOfXY[first])) / width;
        return (plateau ?? height) is double known
            ? Math.Max(0, sumOfYY - 2 * known * product + known * known * square)
            : product > 0 && first > 0 ? Math.Max(0, sumOfYY - product * product / square) : double.PositiveInfinity;
    }

    /// <summary>Height that leaves least with the kinks at two abscissae.</summary>
    public double HeightAt(double top, double end)
    {
        if (height is double known)
        {
            return known;
        }

        (double square, double product) = (0, 0);
        for (int i = 0; i < abscissae.Length; i++)
        {
            double part = Math.Clamp((end - abscissae[i]) / (end - top), 0, 1);
            square += (counts[i + 1] - counts[i]) * part * part;
            product += (sumsOfY[i + 1] - sumsOfY[i]) * part;
        }

        return product / square;
    }

    /// <summary>Kinks and sum of squares of the best curve of all.</summary>
    public (double Top, double End, double Squares) Best()
    {
        (double top, double squares) = Minimum(place => WithTop(place).Squares, candidates);
        return (top, WithTop(top).End, squares);
    }

    /// <summary>The best end of the slope for a given top, and its sum of squares.</summary>
    public (double End, double Squares) WithTop(double top, double? plateau = null) => Minimum(end => Squares(top, end, plateau), candidates);

    /// <summary>Least sum of squares with the top of the slope held.</summary>
    public double WithTopLeast(double top) => WithTop(top).Squares;

    /// <summary>Least sum of squares with the end of the slope held.</summary>
    public double WithEnd(double end) => Minimum(top => Squares(top, end), candidates).Value;

    /// <summary>Least sum of squares with the width of the slope held.</summary>
    public double WithWidth(double width) => Minimum(top => Squares(top, top + width), [.. candidates.Concat(candidates.Select(end => end - width)).Order()]).Value;

    /// <summary>Least sum of squares with the height held, near the best curve.</summary>
    public double WithHeight(double plateau, double nearTop)
    {
        double reach = 0.15;
        return Minimum(top => WithTop(top, plateau).Squares, [nearTop - reach, nearTop - (reach / 3), nearTop, nearTop + (reach / 3), nearTop + reach]).Value;
    }

    // The place of the least value: of the two lowest valleys between candidates, which ascend, the bottom, by golden section.
    private static (double At, double Value) Minimum(Func<double, double> f, double[] places)
    {
        double[] values = Array.ConvertAll(places, place => f(place));
        (int lowest, int second) = Valleys(values);
        (double At, double Value) best = (places[lowest], values[lowest]);
        foreach (int valley in (ReadOnlySpan<int>)(second < 0 ? [lowest] : [lowest, second]))
        {
            double low = places[Math.Max(0, valley - 1)];
            double high = places[Math.Min(places.Length - 1, valley + 1)];
            double left = high - (GoldenPart * (high - low));
            double right = low + (GoldenPart * (high - low));
            (double leftValue, double rightValue) = (f(left), f(right));
            for (int step = 0; step < GoldenSteps; step++)
            {
                if (leftValue <= rightValue)
                {
                    (high, right, rightValue) = (right, left, leftValue);
                    left = high - (GoldenPart * (high - low));
                    leftValue = f(left);
                }
                else
                {
                    (low, left, leftValue) = (left, right, rightValue);
                    right = low + (GoldenPart * (high - low));
                    rightValue = f(right);
                }
            }

            (double at, double value) = leftValue <= rightValue ? (left, leftValue) : (right, rightValue);
            best = value < best.Value ? (at, value) : best;
        }

        return best;
    }

    private static (int Lowest, int Second) Valleys(double[] values)
    {
        (int lowest, int second) = (0, -1);
        for (int i = 0; i < values.Length; i++)
        {
            if ((i > 0 && values[i] > values[i - 1]) || (i + 1 < values.Length && values[i] > values[i + 1]))
            {
                continue;
            }

            if (values[i] < values[lowest] || i == 0)
            {
                (lowest, second) = (i, i == 0 ? -1 : lowest);
            }
            else if (second < 0 || values[i] < values[second])
            {
                second = i;
            }
        }

        return (lowest, second == lowest ? -1 : second);
    }

    private static double[] Running(IEnumerable<double> values)
    {
        double sum = 0;
        return [0, .. values.Select(value => sum += value)];
    }

    // Every abscissa and the middle between two, thinned where there are many, and some beyond both ends.
    private double[] Candidates()
    {
        var all = new List<double>();
        int stride = Math.Max(1, 2 * abscissae.Length / MostCandidates);
        for (int i = 0; i < abscissae.Length; i += stride)
        {
            all.Add(abscissae[i]);
            if (i + stride < abscissae.Length)
            {
                all.Add((abscissae[i] + abscissae[i + stride]) / 2);
            }
        }

        foreach (double away in (double[])[0.03, 0.1, 0.3, 1, Beyond])
        {
            all.Add(abscissae[0] - away);
            all.Add(abscissae[^1] + away);
        }

        return [.. all.Order()];
    }

    // Number of abscissae below a place, or at it.
    private int Below(double place, bool orAt)
    {
        int low = 0;
        int high = abscissae.Length;
        while (low < high)
        {
            int middle = (low + high) / 2;
            (low, high) = abscissae[middle] < place || (orAt && abscissae[middle] == place) ? (middle + 1, high) : (low, middle);
        }

        return low;
    }
}
