namespace PatternCompiler.Passes.Scale;

/// <summary>
/// Divides a line of evenly spaced points into runs whose codes are straight: in a distorted field a straight line on the
/// sample is a curve in codes. A run is halved until its middle point lies within a quarter of a code of the run's chord.
/// </summary>
internal static class BentLine
{
    private const double LargestSagittaCodes = 0.25;

    /// <summary>Below this many points a run is not divided: rounding to codes is coarser than any bend over so few.</summary>
    private const int FewestPoints = 3;

    /// <summary>Adds the last point's index of every run, in order.</summary>
    /// <param name="codesOf">Real-valued codes of point i.</param>
    /// <param name="first">First point of the line.</param>
    /// <param name="last">Last point of the line.</param>
    /// <param name="ends">Takes the indices.</param>
    public static void Divide(Func<int, (double X, double Y)> codesOf, int first, int last, List<int> ends)
    {
        if (last - first + 1 >= FewestPoints && IsBent(codesOf, first, last))
        {
            int middle = first + (last - first) / 2;
            Divide(codesOf, first, middle, ends);
            Divide(codesOf, middle, last, ends);
        }
        else
        {
            ends.Add(last);
        }
    }

    // The middle alone misses an S whose middle lies on the chord: the quarters are looked at, too.
    private static bool IsBent(Func<int, (double X, double Y)> codesOf, int first, int last)
    {
        (double x0, double y0) = codesOf(first);
        (double x1, double y1) = codesOf(last);
        for (int quarter = 1; quarter <= 3; quarter++)
        {
            int point = first + (int)((long)(last - first) * quarter / 4);
            double part = (double)(point - first) / (last - first);
            (double x, double y) = codesOf(point);
            if (Math.Abs(x - (x0 + part * (x1 - x0))) > LargestSagittaCodes || Math.Abs(y - (y0 + part * (y1 - y0))) > LargestSagittaCodes)
            {
                return true;
            }
        }

        return false;
    }
}
