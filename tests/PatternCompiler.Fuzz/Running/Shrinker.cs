namespace PatternCompiler.Fuzz.Running;

/// <summary>Makes an input as short and as plain as its finding allows.</summary>
/// <param name="watch">Runs inputs.</param>
/// <param name="target">What is run.</param>
/// <param name="fault">The finding to keep.</param>
internal sealed class Shrinker(Watch watch, FuzzTarget target, Fault fault)
{
    private const int MostRuns = 3000;
    private int runs;

    /// <summary>The shortest input found with the same finding.</summary>
    public byte[] Run(byte[] input)
    {
        // A slow input is tried less often.
        runs = fault.Kind == "took too long" ? MostRuns - 20 : 0;
        byte[] best = input;
        for (int before = -1; before != best.Length && runs < MostRuns;)
        {
            before = best.Length;
            best = WithoutLines(best);
            best = WithoutBytes(best);
        }

        return Plainer(best);
    }

    private byte[] WithoutLines(byte[] input)
    {
        for (int count = 32; count >= 1; count /= 2)
        {
            for (int start = 0; start < input.Length && runs < MostRuns;)
            {
                int end = start;
                for (int i = 0; i < count && end < input.Length; i++)
                {
                    int found = Array.IndexOf(input, (byte)'\n', end);
                    end = found < 0 ? input.Length : found + 1;
                }

                byte[] shorter = [.. input[..start], .. input[end..]];
                if (IsFinding(shorter))
                {
                    input = shorter;
                }
                else
                {
                    int next = Array.IndexOf(input, (byte)'\n', start);
                    start = next < 0 ? input.Length : next + 1;
                }
            }
        }

        return input;
    }

    private byte[] WithoutBytes(byte[] input)
    {
        for (int count = Math.Max(1, input.Length / 2); count >= 1; count /= 2)
        {
            for (int start = 0; start < input.Length && runs < MostRuns;)
            {
                byte[] shorter = [.. input[..start], .. input[Math.Min(input.Length, start + count)..]];
                if (IsFinding(shorter))
                {
                    input = shorter;
                }
                else
                {
                    start += count;
                }
            }
        }

        return input;
    }

    private byte[] Plainer(byte[] input)
    {
        for (int i = 0; i < input.Length && runs < MostRuns; i++)
        {
            byte plain = char.IsAsciiDigit((char)input[i]) ? (byte)'0' : char.IsAsciiLetter((char)input[i]) ? (byte)'a' : (byte)0;
            if (input[i] != plain && (plain != 0 || input[i] >= 0x7F))
            {
                byte[] plainer = [.. input];
                plainer[i] = plain;
                input = IsFinding(plainer) ? plainer : input;
            }
        }

        return input;
    }

    private bool IsFinding(byte[] input)
    {
        runs++;
        return fault.IsSameAs(watch.Run(target, target.Repair(input)));
    }
}
