using PatternCompiler.Diagnostics;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration;

/// <summary>
/// Names the measurement that stands most against what a model asks for, that one value rises or falls with another: the
/// first place to look for a misread line when no fit is possible.
/// </summary>
internal static class Misfit
{
    /// <summary>An error of a fit that names the measurement.</summary>
    /// <param name="code">The fault.</param>
    /// <param name="problem">Why no fit is possible.</param>
    /// <param name="fix">What to do.</param>
    /// <param name="x">One value of each measurement, with its name and unit.</param>
    /// <param name="y">The value that should rise or fall with it.</param>
    /// <param name="rising">True if it should rise.</param>
    public static CompileException Fault(DiagnosticCode code, string problem, string fix, Values x, Values y, bool rising)
    {
        if (Furthest(x.Numbers, y.Numbers, rising) is not int row)
        {
            return new CompileException(code, problem, fix: fix);
        }

        string message = $"{problem} (measurement {row + 1}, {x.At(row)} and {y.At(row)}, stands most against a {y.Name} that {(rising ? "grows" : "falls")} with the {x.Name})";
        return new CompileException(new Diagnostic(code, Severity.Error, message, Fix: fix) { Measurement = row });
    }

    /// <summary>A fault of measurements that were taken out of a table, with the number that the measurement has there.</summary>
    public static Diagnostic Renumbered(Diagnostic fault, Func<int, int> rowInTable) => fault.Measurement is not int row ? fault : fault with
    {
        Message = fault.Message.Replace($"(measurement {row + 1}, ", $"(measurement {rowInTable(row) + 1}, ", StringComparison.Ordinal),
        Measurement = rowInTable(row),
    };

    /// <summary>
    /// The measurement whose place in the order of one value differs most from its place in the order of the other; the
    /// first of several, null if none differs. Equal values share the mean of their places.
    /// </summary>
    private static int? Furthest(IReadOnlyList<double> x, IReadOnlyList<double> y, bool rising)
    {
        double[] first = Places(x);
        double[] second = Places(rising ? y : [.. y.Select(value => -value)]);
        int furthest = Enumerable.Range(0, x.Count).MaxBy(row => Math.Abs(first[row] - second[row]));
        return first[furthest] == second[furthest] ? null : furthest;
    }

    /// <summary>True if one value rather rises than falls with another: by the products of their places in order (C. Spearman, 1904).</summary>
    public static bool Rises(IReadOnlyList<double> x, IReadOnlyList<double> y)
    {
        double[] first = Places(x);
        double[] second = Places(y);
        double middle = (first.Length - 1) / 2.0;
        return first.Zip(second, (a, b) => (a - middle) * (b - middle)).Sum() > 0;
    }

    private static double[] Places(IReadOnlyList<double> values)
    {
        int[] order = [.. Enumerable.Range(0, values.Count).OrderBy(row => values[row])];
        var places = new double[values.Count];
        for (int start = 0, end; start < order.Length; start = end)
        {
            end = start + 1;
            while (end < order.Length && values[order[end]] == values[order[start]])
            {
                end++;
            }

            for (int i = start; i < end; i++)
            {
                places[order[i]] = (start + end - 1) / 2.0;
            }
        }

        return places;
    }

    /// <summary>One column of a table.</summary>
    internal readonly record struct Values(string Name, IReadOnlyList<double> Numbers, string Unit)
    {
        /// <summary>Name and value of a measurement.</summary>
        public string At(int row) => $"{Name} {NumberText.Format(double.Parse(Numbers[row].ToString("G4", System.Globalization.CultureInfo.InvariantCulture), System.Globalization.CultureInfo.InvariantCulture))} {Unit}";
    }
}
