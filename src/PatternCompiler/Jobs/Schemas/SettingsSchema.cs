using System.Collections.Immutable;
using System.Reflection;
using System.Text.Encodings.Web;
using PatternCompiler.Files;
using PatternCompiler.Jobs.Batch;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Jobs.Schemas;

/// <summary>
/// The JSON Schema of one kind of settings file, for editors. Nothing is declared twice: the program's own readers read files
/// that together hold every key, and what they asked for, and as what they took it, is the schema. Descriptions are the comments
/// beside the keys in the built-in files. What depends on other values (order, sums, what excludes what) only the program judges.
/// </summary>
/// <param name="Word">What kind of file it is, e.g. "machine".</param>
/// <param name="Title">What such a file holds.</param>
/// <param name="Read">The reader.</param>
internal sealed record SettingsSchema(string Word, string Title, Action<YamlMapping> Read)
{
    private const string SampleFolder = "schema-samples.";

    // What a file holds that samples name.
    private const string Placement = ": {offset: [0 um, 0 um]}";

    /// <summary>All of them.</summary>
    public static ImmutableArray<SettingsSchema> All { get; } =
    [
        new("machine", "A pattern writer: converters, deflection, waiting times, clock, blanker, beam, link and stage.", root => MachineFile.ReadMachine(root)),
        new("process", "A resist on its substrate, and the doses that it is exposed with.", root => ProcessFile.ReadResist(root)),
        new("job", "What to write and how: drawings, layers, filling, order, fields and outputs.", root => JobFile.ReadJob(root, null, new JobPaths(null, (_, role) => role + Placement))),
        new("batch", "Jobs and the values that are varied over them.", root => BatchFile.ReadPlan(root, null, (pattern, _) => [pattern])),
        new("manifest", "Write fields in the order of the stage's visits, as 'build' and 'split' write them.", root => FieldManifestFile.ReadManifest(root)),
    ];

    /// <summary>Writes the schema, a JSON document.</summary>
    public void Write(Stream output) => JsonFile.Write(SchemaMaker.Make(this), SchemaTypes.Default, output, JavaScriptEncoder.UnsafeRelaxedJsonEscaping);

    /// <summary>What the reader takes from the samples.</summary>
    public ObservedValue Observe()
    {
        var observed = new ObservedValue();
        foreach ((string name, string text) in Samples())
        {
            observed.Add(YamlText.Read(text, name, root =>
            {
                Read(root);
                return root;
            }));
        }

        return observed;
    }

    /// <summary>What stands beside the keys in the samples, by the keys that lead there.</summary>
    public Dictionary<string, string> Comments()
    {
        Dictionary<string, string> comments = new(StringComparer.Ordinal);
        foreach ((_, string text) in Samples())
        {
            KeyComments.AddTo(comments, text);
        }

        return comments;
    }

    /// <summary>Files with what the built-in one leaves out, or tells only together with what stands above it; then that one, where there is one.</summary>
    public IEnumerable<(string Name, string Text)> Samples()
    {
        Assembly assembly = typeof(SettingsSchema).Assembly;
        return assembly.GetManifestResourceNames()
            .Where(name => name == $"{Word}.yaml" || name.StartsWith($"{SampleFolder}{Word}-", StringComparison.Ordinal))
            .OrderDescending(StringComparer.Ordinal)
            .Select(name =>
            {
                using var reader = new StreamReader(assembly.GetManifestResourceStream(name)!);
                return (name, reader.ReadToEnd());
            });
    }
}
