using System.Globalization;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>Gives names that a format allows, different ones to different names.</summary>
/// <param name="isAllowed">Characters that the format allows; others become an underscore.</param>
/// <param name="longest">Most characters of a name.</param>
internal sealed class NameMap(Func<char, bool> isAllowed, int longest)
{
    private readonly Dictionary<string, string> map = new(StringComparer.Ordinal);
    private readonly HashSet<string> taken = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>The name to write.</summary>
    public string Of(string name)
    {
        if (map.TryGetValue(name, out string? known))
        {
            return known;
        }

        string cleaned = new([.. name.Select(c => isAllowed(c) ? c : '_').Take(longest)]);
        string free = cleaned;
        for (int i = 2; !taken.Add(free); i++)
        {
            string suffix = "_" + i.ToString(CultureInfo.InvariantCulture);
            free = cleaned[..Math.Min(cleaned.Length, longest - suffix.Length)] + suffix;
        }

        map.Add(name, free);
        return free;
    }
}
