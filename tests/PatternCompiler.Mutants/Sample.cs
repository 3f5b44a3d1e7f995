using System.Security.Cryptography;
using System.Text;

namespace PatternCompiler.Mutants;

/// <summary>Draws so many mutants of each file or room by seed and identity: other code does not change the draw.</summary>
internal static class Sample
{
    public static IEnumerable<Mutant> Draw(IEnumerable<Mutant> mutants, Func<Mutant, string> place, int count, int seed) =>
        mutants.GroupBy(place, StringComparer.Ordinal).SelectMany(group => group.OrderBy(m => Rank(m, seed), StringComparer.Ordinal).Take(count));

    /// <summary>All of them, in an order that has nothing to do with their places.</summary>
    public static IEnumerable<Mutant> Mix(IEnumerable<Mutant> mutants, int seed) => mutants.OrderBy(m => Rank(m, seed), StringComparer.Ordinal);

    private static string Rank(Mutant mutant, int seed) => Convert.ToHexString(SHA256.HashData(Encoding.UTF8.GetBytes($"{seed}|{mutant.Identity}")));
}
