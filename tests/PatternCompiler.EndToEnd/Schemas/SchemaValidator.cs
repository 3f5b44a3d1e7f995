using System.Text.Json;

namespace PatternCompiler.EndToEnd.Schemas;

/// <summary>The npm packages ajv, in its strict mode, and yaml: what a schema says of settings files, independent of this program.</summary>
internal static class SchemaValidator
{
    private static readonly Lazy<string> Folder = new(() => NpmFolder.Install("schema-validator", "Schemas", "Validator"));

    /// <summary>What each file's schema has against it; empty where it is valid.</summary>
    /// <param name="schemas">Kind of file → its schema.</param>
    /// <param name="files">Kinds and texts.</param>
    public static string[] Check(IReadOnlyDictionary<string, string> schemas, IReadOnlyCollection<(string Kind, string Text)> files)
    {
        string input = Path.GetTempFileName();
        try
        {
            using (FileStream stream = File.Create(input))
            using (var writer = new Utf8JsonWriter(stream))
            {
                writer.WriteStartObject();
                writer.WriteStartObject("schemas");
                foreach ((string kind, string schema) in schemas)
                {
                    writer.WritePropertyName(kind);
                    writer.WriteRawValue(schema);
                }

                writer.WriteEndObject();
                writer.WriteStartArray("files");
                foreach ((string kind, string text) in files)
                {
                    writer.WriteStartObject();
                    writer.WriteString("kind", kind);
                    writer.WriteString("text", text);
                    writer.WriteEndObject();
                }

                writer.WriteEndArray();
                writer.WriteEndObject();
            }

            Outcome outcome = Executable.Shell(Folder.Value, $"node validate.js < '{input}'").Expect(0);
            return [.. JsonDocument.Parse(outcome.Output).RootElement.EnumerateArray().Select(answer => answer.GetString()!)];
        }
        finally
        {
            File.Delete(input);
        }
    }
}
