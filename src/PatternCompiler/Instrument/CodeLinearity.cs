using System.Collections.Immutable;

namespace PatternCompiler.Instrument;

/// <summary>
/// What one output of the converters really gives: by how many steps it lies, at some codes, above the straight line that the
/// machine file states; straight between the codes listed, at the same distance beyond them. A larger code gives a larger output,
/// save at a large carry, from a code to the very next, where many bits change at once: there it may fall back.
/// </summary>
public sealed class CodeLinearity
{
    private readonly double[] codes;
    private readonly double[] outputs;

    // The way back: rising outputs with the codes that are taken for them.
    private readonly double[] wanted;
    private readonly double[] taken;

    /// <summary>A measured table, by rising code.</summary>
    /// <param name="errors">Code and error of the output in steps (LSB).</param>
    /// <exception cref="ArgumentException">The table is empty, unsorted, or falls elsewhere than at a carry.</exception>
    public CodeLinearity(ImmutableArray<(int Code, double ErrorSteps)> errors)
    {
        ArgumentOutOfRangeException.ThrowIfZero(errors.Length, nameof(errors));
        if (FaultOf(errors) is not null)
        {
            throw new ArgumentException("Codes must rise, and outputs but for carries.", nameof(errors));
        }

        codes = [.. errors.Select(e => (double)e.Code)];
        outputs = [.. errors.Select(e => e.Code + e.ErrorSteps)];
        (wanted, taken) = Inverse(codes, outputs);
    }

    /// <summary>The numbers that tell this table from every other.</summary>
    public IEnumerable<double> Numbers => [.. codes, .. outputs];

    /// <summary>
    /// The first line of a table that cannot be, or null: codes rise, and outputs rise, or fall back from a code to the very next by less
    /// than twice what they rise to either side.
    /// </summary>
    public static int? FaultOf(IReadOnlyList<(int Code, double ErrorSteps)> errors)
    {
        // Up to where the way back has gone at the line before, and at the one before that.
        double last = errors.Count > 0 ? errors[0].Code + errors[0].ErrorSteps : 0, floor = double.NegativeInfinity;
        for (int i = 1; i < errors.Count; i++)
        {
            (double before, double now) = (errors[i - 1].Code + errors[i - 1].ErrorSteps, errors[i].Code + errors[i].ErrorSteps);
            if (errors[i].Code <= errors[i - 1].Code || (now <= last && errors[i].Code != errors[i - 1].Code + 1))
            {
                return i;
            }

            if (now > last)
            {
                (floor, last) = (last, now);
                continue;
            }

            double cut = (before + now) / 2;
            if (cut <= floor || now > before)
            {
                return i;
            }

            (floor, last) = (cut, cut);
        }

        return null;
    }

    /// <summary>Output, in steps of the ideal line, of a (real-valued) code.</summary>
    public double OutputOf(double code) => Follow(codes, outputs, code);

    /// <summary>
    /// The (real-valued) code whose output is the given number of ideal steps: exact inverse of <see cref="OutputOf"/>. Of two such
    /// codes, about a carry at which the output falls back, the one on the nearer side of the middle of what it falls.
    /// </summary>
    public double CodeFor(double output) => Follow(wanted, taken, output);

    private static (double[] Wanted, double[] Taken) Inverse(double[] codes, double[] outputs)
    {
        var from = new List<double>(codes.Length);
        var to = new List<double>(codes.Length);
        for (int i = 0; i < codes.Length; i++)
        {
            if (i > 0 && outputs[i] <= outputs[i - 1])
            {
                // Both runs end at the middle; no number lies between their ends.
                double cut = (outputs[i - 1] + outputs[i]) / 2, next = Math.BitIncrement(cut);
                to[^1] = from.Count > 1 ? Along(from[^2], to[^2], from[^1], to[^1], cut) : codes[i - 1] + cut - outputs[i - 1];
                from[^1] = cut;
                from.Add(next);
                to.Add(i + 1 < codes.Length ? Along(outputs[i], codes[i], outputs[i + 1], codes[i + 1], next) : codes[i] + next - outputs[i]);
                continue;
            }

            from.Add(outputs[i]);
            to.Add(codes[i]);
        }

        return ([.. from], [.. to]);
    }

    private static double Along(double from0, double to0, double from1, double to1, double value) => to0 + ((value - from0) / (from1 - from0) * (to1 - to0));

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
