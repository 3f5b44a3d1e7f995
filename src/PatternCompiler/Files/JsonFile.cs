using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;

namespace PatternCompiler.Files;

/// <summary>How every JSON document is written: indented, with line feeds on every system, and its keys as the properties of a record, in camel case.</summary>
/// <remarks>Names end in their unit; none is ever renamed or given another meaning.</remarks>
internal static class JsonFile
{
    /// <summary>Writes one value and a line feed; the stream stays open.</summary>
    /// <param name="value">A record whose properties are the keys.</param>
    /// <param name="types">Knows the types of the value, and whether values that are null are left out.</param>
    /// <param name="output">Takes the text.</param>
    /// <param name="escapes">Which characters are escaped; null for all that are not plain.</param>
    public static void Write<T>(T value, JsonSerializerContext types, Stream output, JavaScriptEncoder? escapes = null)
    {
        var options = new JsonSerializerOptions(types.Options)
        {
            WriteIndented = true,
            NewLine = "\n",
            PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
            Encoder = escapes,
        };
        JsonSerializer.Serialize(output, value, (JsonTypeInfo<T>)options.GetTypeInfo(typeof(T)));
        output.WriteByte((byte)'\n');
    }

    /// <summary>A value of an enumeration as its words, such as "late blanking" for LateBlanking.</summary>
    public static string Words(Enum value) => JsonNamingPolicy.KebabCaseLower.ConvertName(value.ToString()).Replace('-', ' ');
}
