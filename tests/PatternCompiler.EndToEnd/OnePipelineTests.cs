using System.Text.Json;

namespace PatternCompiler.EndToEnd;

/// <summary>
/// Whatever command compiles, from whatever document: the same numbers and the same messages. A later document knows less (a
/// stream does not tell what filling chose), but what it tells is what the build told.
/// </summary>
public sealed class OnePipelineTests
{
    public static TheoryData<string> Jobs =>
        [.. Directory.GetFiles(Path.Combine(Repository.Root, "examples"), "job*.yaml", SearchOption.AllDirectories)
            .Select(path => Path.GetRelativePath(Path.Combine(Repository.Root, "examples"), path)).Order(StringComparer.Ordinal)];

    [Theory]
    [MemberData(nameof(Jobs))]
    public void Every_start_leads_to_the_numbers_and_messages_of_the_build(string job)
    {
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples", ".");
        string home = folder[Path.GetDirectoryName(job)!];
        string file = Path.GetFileName(job);
        string[] built = Messages(Executable.Run(home, ["build", file, "--keep", "kept", "--binary", "--quiet"]));
        string[] starts =
        [
            file,
            .. new[] { ".layout", ".figures", ".strokes", ".records" }.SelectMany(ending => Only(Directory.GetFiles(Path.Combine(home, "kept"), "*" + ending))),
            .. Only(Directory.GetFiles(home, "*.stream", SearchOption.AllDirectories)),
            .. Directory.GetFiles(home, "*-fields.yaml", SearchOption.AllDirectories),
        ];
        Assert.True(starts.Length >= 4, string.Join(", ", starts));
        Dictionary<string, string> expected = Numbers(Executable.Run(home, ["estimate", file, "--json", "--quiet"]));
        foreach (string start in starts)
        {
            Outcome outcome = Executable.Run(home, ["estimate", start, "--job", file, "--json", "--quiet"]);
            Dictionary<string, string> told = Numbers(outcome);
            Assert.True(told.Count > 20, start);
            Assert.All(told, number => Assert.Equal((start, number.Key, expected.GetValueOrDefault(number.Key)), (start, number.Key, number.Value)));
            string[] messages = Messages(outcome);
            Assert.All(messages, message => Assert.Contains(message, built));
            if (start == file || start.EndsWith(".figures", StringComparison.Ordinal) || start.EndsWith(".layout", StringComparison.Ordinal))
            {
                Assert.Equal(expected.Count, told.Count);
            }

            if (start == file)
            {
                Assert.Equal(built, messages);
            }

            if (start != file && !start.EndsWith(".stream", StringComparison.Ordinal))
            {
                // A simulation takes a second or two; the first and the last start of the pipeline tell.
                continue;
            }

            Outcome simulated = Executable.Run(home, ["simulate", start, "--job", file, "--pixel", "20 nm", "--window", "0 um, 0 um, 2 um", "--quiet", "-o", "simulated.txt"]);
            if (!simulated.Errors.Contains("does not say how energy spreads", StringComparison.Ordinal))
            {
                Assert.Equal(messages, Messages(simulated));
            }
        }
    }

    // One document a stage; of a divided pattern there is one a field, which the manifest stands for.
    private static string[] Only(string[] files) => files.Length == 1 ? files : [];

    private static string[] Messages(Outcome outcome) =>
        [.. outcome.Expect(0).Errors.Split('\n').Where(line => line.StartsWith("warning", StringComparison.Ordinal) || line.StartsWith("note", StringComparison.Ordinal)).Order(StringComparer.Ordinal)];

    private static Dictionary<string, string> Numbers(Outcome outcome)
    {
        Dictionary<string, string> numbers = [];
        using JsonDocument json = JsonDocument.Parse(outcome.Expect(0).Output);
        Walk(json.RootElement, "");
        return numbers;

        void Walk(JsonElement element, string path)
        {
            switch (element.ValueKind)
            {
                case JsonValueKind.Object:
                    foreach (JsonProperty property in element.EnumerateObject())
                    {
                        Walk(property.Value, $"{path}/{property.Name}");
                    }

                    break;
                case JsonValueKind.Array:
                    int index = 0;
                    foreach (JsonElement item in element.EnumerateArray())
                    {
                        Walk(item, $"{path}/{index++}");
                    }

                    break;
                default:
                    numbers.Add(path, element.GetRawText());
                    break;
            }
        }
    }
}
