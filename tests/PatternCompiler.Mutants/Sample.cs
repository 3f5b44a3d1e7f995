using System.Security.Cryptography;
using System.Text;

namespace PatternCompiler.Mutants;

/// <summary>Draws so many mutants of each file by seed and identity: other code does not change the draw.</summary>
internal static class Sample
{
    public static IEnumerable<Mutant> Draw(IEnumerable<Mutant> mutants, int perFile, int seed) =>
        mutants.GroupBy(m => m.File, StringComparer.Ordinal).SelectMany(file => file.OrderBy(m => Rank(m, seed), StringComparer.Ordinal).Take(perFile));

    private static string Rank(Mutant mutant, int seed) => Convert.ToHexString(SHA256.HashData(Encoding.UTF8.GetBytes($"{seed}|{mutant.Identity}")));
}
