using System.Security.Cryptography;
using System.Text;
using PatternCompiler.Tests.Architecture;

namespace PatternCompiler.Tests.Kept;

/// <summary>
/// Outputs of earlier versions by their hashes, a line each: whatever changes an output is noticed. A change on purpose renews the table
/// (PATTERNC_RENEW_KEPT=1), and its difference is read. What came out otherwise is left in .artifacts/kept, to be laid beside the same file of
/// the version before.
/// </summary>
internal sealed class KeptTable(string name)
{
    private readonly SortedDictionary<string, string> now = new(StringComparer.Ordinal);
    private readonly Dictionary<string, byte[]> contents = [];

    public void Add(string output, string text) => Add(output, Encoding.UTF8.GetBytes(text));

    public void Add(string output, byte[] bytes)
    {
        now.Add(output, Convert.ToHexStringLower(SHA256.HashData(bytes))[..16]);
        contents.Add(output, bytes);
    }

    /// <summary>Asks that every output is as it was, and that none is missing.</summary>
    public void Check()
    {
        string path = Path.Combine(SourceTree.Root, "tests", "PatternCompiler.Tests", "Kept", name + ".tsv");
        if (Environment.GetEnvironmentVariable("PATTERNC_RENEW_KEPT") == "1")
        {
            File.WriteAllText(path, string.Concat(now.Select(entry => $"{entry.Key}\t{entry.Value}\n")));
        }

        Dictionary<string, string> kept = File.ReadAllLines(path).Select(line => line.Split('\t')).ToDictionary(cells => cells[0], cells => cells[1]);
        string[] others = [.. now.Keys.Where(output => kept.GetValueOrDefault(output) != now[output])];
        string folder = Path.Combine(SourceTree.Root, ".artifacts", "kept", name);
        foreach (string output in others)
        {
            string file = Path.Combine(folder, output.Replace('/', '-'));
            Directory.CreateDirectory(folder);
            File.WriteAllBytes(file, contents[output]);
        }

        Assert.True(others.Length == 0, $"{others.Length} of {now.Count} outputs are not as they were: {string.Join(", ", others.Take(20))}; they are in {folder}");
        Assert.Equal(kept.Keys.Order(StringComparer.Ordinal), now.Keys);
    }
}
