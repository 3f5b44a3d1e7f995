using System.Text.Json;

namespace PatternCompiler.Jobs.Provenance;

/// <summary>What a provenance file tells of the outputs of its build.</summary>
internal static class ProvenanceOutputs
{
    /// <summary>Name of the output with a hash, from the job's folder; null if none has it.</summary>
    public static string? NameOf(JsonElement provenance, string? sha256) =>
        sha256 is not null && provenance.ValueKind == JsonValueKind.Object && provenance.TryGetProperty("outputs", out JsonElement outputs) && outputs.ValueKind == JsonValueKind.Array
            ? outputs.EnumerateArray().Where(output => TextOf(output, "sha256") == sha256).Select(output => TextOf(output, "name")).FirstOrDefault()
            : null;

    /// <summary>Name of the job file, from its folder; null if the job came from none.</summary>
    public static string? JobOf(JsonElement provenance) =>
        provenance.TryGetProperty("settings", out JsonElement settings) && settings.TryGetProperty("job", out JsonElement job) ? TextOf(job, "file") : null;

    private static string? TextOf(JsonElement element, string key) =>
        element.ValueKind == JsonValueKind.Object && element.TryGetProperty(key, out JsonElement value) && value.ValueKind == JsonValueKind.String ? value.GetString() : null;
}
