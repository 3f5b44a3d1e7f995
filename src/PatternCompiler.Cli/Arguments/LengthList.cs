using PatternCompiler.Units;

namespace PatternCompiler.Cli.Arguments;

/// <summary>Several lengths in one value of an option, with commas between.</summary>
internal static class LengthList
{
    /// <summary>The lengths in nanometres; null if they are not so many, or one is no length.</summary>
    public static double[]? TryParse(string text, int count)
    {
        string[] parts = text.Split(',');
        var lengths = new double[count];
        for (int i = 0; i < count; i++)
        {
            if (parts.Length != count || !Quantity.TryParse(parts[i], [Dimension.Length], out Quantity length, out _))
            {
                return null;
            }

            lengths[i] = length.In(Unit.Nanometre);
        }

        return lengths;
    }
}
