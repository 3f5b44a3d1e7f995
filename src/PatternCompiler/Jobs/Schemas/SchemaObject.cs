using System.Text.Json.Serialization;

namespace PatternCompiler.Jobs.Schemas;

/// <summary>A JSON Schema (draft 7, which editors know best): what a value may be. Properties that are null are left out.</summary>
internal sealed record SchemaObject
{
    [JsonPropertyName("$schema")]
    public string? Dialect { get; init; }

    [JsonPropertyName("$ref")]
    public string? Reference { get; init; }

    public string? Title { get; init; }

    public string? Description { get; init; }

    /// <summary>A type's name, or a list of names.</summary>
    public object? Type { get; init; }

    public IReadOnlyList<object>? Enum { get; init; }

    public string? Pattern { get; init; }

    public double? Minimum { get; init; }

    public double? Maximum { get; init; }

    public IReadOnlyList<string>? Examples { get; init; }

    public IReadOnlyList<SchemaObject>? AllOf { get; init; }

    public IReadOnlyList<SchemaObject>? AnyOf { get; init; }

    public int? MinItems { get; init; }

    public SchemaObject? Items { get; init; }

    public IReadOnlyList<string>? Required { get; init; }

    public IReadOnlyDictionary<string, SchemaObject>? Properties { get; init; }

    /// <summary>False, or what the value of any other key may be.</summary>
    public object? AdditionalProperties { get; init; }

    public IReadOnlyDictionary<string, SchemaObject>? Definitions { get; init; }
}

/// <summary>Knows how schemas are written.</summary>
[JsonSourceGenerationOptions(DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull)]
[JsonSerializable(typeof(SchemaObject))]
[JsonSerializable(typeof(bool))]
[JsonSerializable(typeof(string))]
[JsonSerializable(typeof(string[]))]
internal sealed partial class SchemaTypes : JsonSerializerContext;
