using System.Collections.Immutable;

namespace PatternCompiler.VirtualLab.Truth;

/// <summary>
/// A converter made of weighted bits, each off by a part of the smallest step: where many bits change at once, a step is too large,
/// too small or backwards.
/// </summary>
/// <param name="BitErrors">In smallest steps, the most significant bit first; bits beyond the list are exact.</param>
/// <param name="OffsetSteps">Of the whole, in smallest steps.</param>
public sealed record ConverterTruth(ImmutableArray<double> BitErrors, double OffsetSteps)
{
    /// <summary>What a code gives, in smallest steps, ideally the code itself.</summary>
    public double StepsOf(int code, int bits)
    {
        double steps = code + OffsetSteps;
        for (int i = 0; i < BitErrors.Length && i < bits; i++)
        {
            steps += ((code >> (bits - 1 - i)) & 1) * BitErrors[i];
        }

        return steps;
    }

    internal static ConverterTruth Draw(LabSetup setup, Dice dice)
    {
        double size = setup.Faults.HasFlag(LabFaults.Converters) ? 1 : 0;
        return new ConverterTruth([.. Enumerable.Range(0, 6).Select(i => size * dice.Normal(0, 1.5 / (1 << (i / 2))))], size * dice.Normal(0, 4));
    }
}
