using System.Collections.Immutable;
using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Prediction.Compare;

namespace PatternCompiler.Jobs.Provenance;

/// <summary>Reads two provenance files and lists every value in which they differ, named by the keys that lead to it.</summary>
internal static class ProvenanceComparer
{
    private const int LargestBytes = 64 << 20;

    /// <summary>True if a file that starts with these bytes tells where outputs come from.</summary>
    public static bool Recognises(ReadOnlySpan<byte> first)
    {
        ReadOnlySpan<byte> rest = first.TrimStart(" \t\r\n"u8);
        return rest.StartsWith("{"u8) && rest[1..].TrimStart(" \t\r\n"u8).StartsWith("\"provenance\""u8);
    }

    /// <summary>Compares two files; the streams stay open.</summary>
    /// <exception cref="CompileException">One of them is no JSON.</exception>
    public static DocumentComparison Compare(Stream first, string firstName, Stream second, string secondName)
    {
        using JsonDocument a = Read(first, firstName), b = Read(second, secondName);
        return new DocumentComparison("provenance", Differences(a.RootElement, b.RootElement), null, [], null);
    }

    /// <summary>Every value in which two objects differ. A list's item that has a name goes by it.</summary>
    public static ImmutableArray<ItemDifference> Differences(JsonElement first, JsonElement second)
    {
        List<(string Place, string Value)> a = [], b = [];
        Collect(first, "", a);
        Collect(second, "", b);
        Dictionary<string, string> left = a.ToDictionary(), right = b.ToDictionary();
        return
        [
            .. a.Select(value => value.Place).Union(b.Select(value => value.Place))
                .Select(place => new ItemDifference(place, left.GetValueOrDefault(place), right.GetValueOrDefault(place)))
                .Where(item => item.First != item.Second),
        ];
    }

    /// <summary>Reads a file; the stream stays open.</summary>
    /// <exception cref="CompileException">It is no JSON.</exception>
    public static JsonDocument Read(Stream source, string name)
    {
        var bytes = new byte[LargestBytes];
        int count = source.ReadAtLeast(bytes, bytes.Length, throwOnEndOfStream: false);
        try
        {
            return JsonDocument.Parse(bytes.AsMemory(0, count));
        }
        catch (JsonException fault)
        {
            throw new CompileException(
                CompareCodes.BadProvenance,
                "this starts as a provenance file but is no JSON",
                new SourcePlace(name, (int)(fault.LineNumber ?? 0) + 1, (int)(fault.BytePositionInLine ?? 0) + 1),
                "build the job again with --provenance");
        }
    }

    private static void Collect(JsonElement element, string place, List<(string Place, string Value)> values)
    {
        switch (element.ValueKind)
        {
            case JsonValueKind.Object:
                foreach (JsonProperty property in element.EnumerateObject())
                {
                    Collect(property.Value, place.Length == 0 ? property.Name : $"{place}.{property.Name}", values);
                }

                break;
            case JsonValueKind.Array:
                string?[] names = [.. element.EnumerateArray().Select(NameOf)];
                int index = 0;
                foreach (JsonElement item in element.EnumerateArray())
                {
                    string? name = names[index];
                    Collect(item, name is not null && names.Count(other => other == name) == 1 ? $"{place}[{name}]" : $"{place}[{index}]", values);
                    index++;
                }

                break;
            case JsonValueKind.Null:
                // As if the key were not there, as in files of a version that had none.
                break;
            default:
                values.Add((place, element.ValueKind == JsonValueKind.String ? $"\"{element.GetString()}\"" : element.GetRawText()));
                break;
        }
    }

    private static string? NameOf(JsonElement item) =>
        item.ValueKind == JsonValueKind.Object && item.TryGetProperty("name", out JsonElement name) && name.ValueKind == JsonValueKind.String ? name.GetString() : null;
}
