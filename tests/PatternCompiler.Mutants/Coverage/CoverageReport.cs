using System.Globalization;
using System.Xml.Linq;
using YamlDotNet.Serialization;

namespace PatternCompiler.Mutants.Coverage;

/// <summary>Lines and branches that tests reach, by room, from reports in the Cobertura form.</summary>
internal static class CoverageReport
{
    /// <summary>Prints the table and what is not covered, with the reason that <paramref name="reasonsPath"/> gives for a file.</summary>
    public static int Print(string[] reports, string reasonsPath, TextWriter output)
    {
        CoveredFile[] files = Read(reports);
        output.WriteLine($"{"room",-32}{"lines",8}{"covered",10}{"branches",10}{"taken",8}");
        foreach (IGrouping<string, CoveredFile> room in files.GroupBy(f => f.Room, StringComparer.Ordinal).OrderBy(g => g.Key, StringComparer.Ordinal))
        {
            WriteRow(output, room.Key, [.. room]);
        }

        WriteRow(output, "all", files);
        Dictionary<string, string> reasons = new DeserializerBuilder().Build().Deserialize<Dictionary<string, string>>(File.ReadAllText(reasonsPath)) ?? [];
        output.WriteLine();
        output.WriteLine("Not covered:");
        foreach (CoveredFile file in files.Where(f => f.Missed.Length > 0).OrderBy(f => f.File, StringComparer.Ordinal))
        {
            output.WriteLine($"{file.File}: {file.Missed}: {reasons.GetValueOrDefault(file.File, "no reason given")}");
        }

        string[] stale = [.. reasons.Keys.Where(path => !files.Any(f => f.File == path && f.Missed.Length > 0))];
        foreach (string path in stale)
        {
            output.WriteLine($"{reasonsPath}: {path} is covered, or gone.");
        }

        return stale.Length == 0 ? 0 : 1;
    }

    private static CoveredFile[] Read(string[] reports)
    {
        const string root = "/src/PatternCompiler/";
        var hits = new Dictionary<string, SortedDictionary<int, long>>(StringComparer.Ordinal);
        var taken = new Dictionary<(string, int), (int Taken, int All)>();
        foreach (XDocument report in reports.Select(path => XDocument.Load(path)))
        {
            string[] sources = [.. report.Descendants("source").Select(s => s.Value)];
            foreach (XElement type in report.Descendants("class"))
            {
                string path = Path.Combine(sources.FirstOrDefault() ?? "", (string)type.Attribute("filename")!).Replace('\\', '/');
                int at = path.IndexOf(root, StringComparison.Ordinal);
                if (at < 0)
                {
                    continue;
                }

                string file = path[(at + root.Length)..];
                if (!hits.TryGetValue(file, out SortedDictionary<int, long>? lines))
                {
                    hits.Add(file, lines = []);
                }

                foreach (XElement line in type.Elements("lines").Elements("line"))
                {
                    int number = (int)line.Attribute("number")!;
                    lines[number] = lines.GetValueOrDefault(number) + (long)line.Attribute("hits")!;
                    if ((string?)line.Attribute("condition-coverage") is { } condition)
                    {
                        // "50% (1/2)"; of several reports the best is kept.
                        int[] parts = [.. condition[(condition.IndexOf('(', StringComparison.Ordinal) + 1)..^1].Split('/').Select(p => int.Parse(p, CultureInfo.InvariantCulture))];
                        taken[(file, number)] = (Math.Max(parts[0], taken.GetValueOrDefault((file, number)).Taken), parts[1]);
                    }
                }
            }
        }

        return [.. hits.Select(pair => new CoveredFile(
            pair.Key, pair.Value, taken.Where(t => t.Key.Item1 == pair.Key).Sum(t => t.Value.Taken), taken.Where(t => t.Key.Item1 == pair.Key).Sum(t => t.Value.All)))];
    }

    private static void WriteRow(TextWriter output, string name, CoveredFile[] files)
    {
        int lines = files.Sum(f => f.Hits.Count);
        int branches = files.Sum(f => f.Branches);
        output.WriteLine($"{name,-32}{lines,8}{Share(files.Sum(f => f.Hits.Values.Count(h => h > 0)), lines),10}{branches,10}{Share(files.Sum(f => f.BranchesTaken), branches),8}");
    }

    private static string Share(int part, int all) => all == 0 ? "-" : $"{100.0 * part / all:0.0}%";
}
