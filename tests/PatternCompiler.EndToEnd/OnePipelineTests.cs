using System.Text.Json;
using System.Text.RegularExpressions;
using PatternCompiler.Cli;

namespace PatternCompiler.EndToEnd;

/// <summary>
/// Whatever command compiles, from whatever document: the same numbers and the same messages. A later document knows less (a
/// stream does not tell what filling chose), but what it tells is what the build told. Command lines run in this process, so
/// the tests say nothing of another executable and run once. The jobs with corrected doses and with several fields take 17 s
/// each: they are filled five times over, and that is what is compared.
/// </summary>
public sealed partial class OnePipelineTests
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
        string file = folder[job];
        string kept = folder["kept"];
        string[] built = Messages(Run("build", file, "--keep", kept, "--binary"));
        (Dictionary<string, string> expected, string[] told) = Estimate(file, []);
        Assert.True(expected.Count > 20);
        Assert.Equal(built, told);
        Assert.Equal(told, Simulated(file, []) ?? told);
        string[] starts =
        [
            .. new[] { ".layout", ".figures", ".strokes", ".records" }.SelectMany(ending => Only(Directory.GetFiles(kept, "*" + ending))),
            .. Only(Directory.GetFiles(Path.GetDirectoryName(file)!, "*.stream", SearchOption.AllDirectories)),
            .. Directory.GetFiles(Path.GetDirectoryName(file)!, "*-fields.yaml", SearchOption.AllDirectories),
        ];
        Assert.True(starts.Length >= 3, string.Join(", ", starts));
        foreach (string start in starts)
        {
            (Dictionary<string, string> numbers, string[] messages) = Estimate(start, ["--job", file]);
            Assert.True(numbers.Count > 20, start);
            Assert.All(numbers, number => Assert.Equal((start, number.Key, expected.GetValueOrDefault(number.Key)), (start, number.Key, number.Value)));
            Assert.All(messages, message => Assert.Contains(message, built));
            if (start.EndsWith(".figures", StringComparison.Ordinal) || start.EndsWith(".layout", StringComparison.Ordinal))
            {
                Assert.Equal(expected.Count, numbers.Count);
            }

            // A simulation takes a second or two; the first and the last start of the pipeline tell.
            if (start.EndsWith(".stream", StringComparison.Ordinal))
            {
                Assert.Equal(messages, Simulated(start, ["--job", file]) ?? messages);
            }
        }

        (Dictionary<string, string> Numbers, string[] Messages) Estimate(string start, string[] settings)
        {
            Outcome outcome = Run(["estimate", start, .. settings, "--json", "-o", folder["estimate.json"]]);
            string[] messages = Messages(outcome);
            return (Numbers(folder.Read("estimate.json")), messages);
        }

        // Null where the process does not say how energy spreads.
        string[]? Simulated(string start, string[] settings)
        {
            Outcome outcome = Run(["simulate", start, .. settings, "--pixel", "20 nm", "--window", "0 um, 0 um, 2 um", "-o", folder["simulated.txt"]]);
            return outcome.Errors.Contains("does not say how energy spreads", StringComparison.Ordinal) ? null : Messages(outcome);
        }
    }

    // Fifty command lines of a second each: one process meets warm code from the second on.
    private static Outcome Run(params string[] arguments)
    {
        using var errors = new StringWriter();
        int code = CommandLine.Run(arguments, errors);
        return new Outcome(code, [], errors.ToString());
    }

    // One document a stage; of a divided pattern there is one a field, which the manifest stands for.
    private static string[] Only(string[] files) => files.Length == 1 ? files : [];

    // Without their places: a later document alone does not know the drawing.
    private static string[] Messages(Outcome outcome) =>
        [.. outcome.Expect(0).Errors.Split('\n').Select(line => Message().Match(line)).Where(match => match.Success).Select(match => match.Groups[1].Value).Order(StringComparer.Ordinal)];

    [GeneratedRegex("^(?:.*: )?((?:warning|note) PC[0-9]{4}: .*)$")]
    private static partial Regex Message();

    private static Dictionary<string, string> Numbers(byte[] estimate)
    {
        Dictionary<string, string> numbers = [];
        using JsonDocument json = JsonDocument.Parse(estimate);
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
                case var _ when path.Contains("/where/", StringComparison.Ordinal):
                    break;
                default:
                    numbers.Add(path, element.GetRawText());
                    break;
            }
        }
    }
}
