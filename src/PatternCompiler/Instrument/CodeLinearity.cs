using System.Collections.Immutable;

namespace PatternCompiler.Instrument;

/// <summary>
/// Integral nonlinearity of one converter: by how many steps its output at some codes lies above the ideal straight
/// line; straight between the codes listed, constant beyond them. Monotonic: a larger code gives a larger output.
/// </summary>
public sealed class CodeLinearity
{
    private readonly double[] codes;
    private readonly double[] outputs;

    /// <summary>A measured table, by rising code.</summary>
    /// <param name="errors">Code and error of the output in steps (LSB), end points and slope already removed.</param>
    /// <exception cref="ArgumentException">The table is empty, unsorted or not monotonic.</exception>
    public CodeLinearity(ImmutableArray<(int Code, double ErrorSteps)> errors)
    {
        codes = [.. errors.Select(e => (double)e.Code)];
        outputs = [.. errors.Select(e => e.Code + e.ErrorSteps)];
        for (int i = 1; i < codes.Length; i++)
        {
            if (codes[i] <= codes[i - 1] || outputs[i] <= outputs[i - 1])
            {
                throw new ArgumentException("Codes and outputs must rise.", nameof(errors));
            }
        }

        ArgumentOutOfRangeException.ThrowIfZero(codes.Length, nameof(errors));
    }

    /// <summary>The numbers that tell this table from every other.</summary>
    public IEnumerable<double> Numbers => [.. codes, .. outputs];

    /// <summary>Output, in steps of the ideal line, of a (real-valued) code.</summary>
    public double OutputOf(double code) => Follow(codes, outputs, code);

    /// <summary>The (real-valued) code whose output is the given number of ideal steps: exact inverse of <see cref="OutputOf"/>.</summary>
    public double CodeFor(double output) => Follow(outputs, codes, output);

    private static double Follow(double[] from, double[] to, double value)
    {
        int upper = Array.BinarySearch(from, value);
        if (upper >= 0)
        {
            return to[upper];
        }

        upper = ~upper;
        if (upper == 0)
        {
            return value + to[0] - from[0];
        }

        if (upper == from.Length)
        {
            return value + to[^1] - from[^1];
        }

        double part = (value - from[upper - 1]) / (from[upper] - from[upper - 1]);
        return to[upper - 1] + part * (to[upper] - to[upper - 1]);
    }
}
