using System.Collections.Immutable;
using System.Text.Json;
using System.Text.Json.Serialization;
using PatternCompiler.Instrument;
using PatternCompiler.Limits;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Provenance;

/// <summary>
/// All settings as JSON, as they hold after defaults: every property of the records, so that a new setting needs no line here. Names
/// are those of the records and end in their unit; what has no limit is "Infinity".
/// </summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    UseStringEnumConverter = true,
    IgnoreReadOnlyProperties = true,
    IncludeFields = true,
    NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals,
    Converters = [typeof(CalibrationJson), typeof(LinearityJson), typeof(LimitsJson), typeof(PlaceJson), typeof(DoseFactorJson), typeof(StrategyJson)])]
[JsonSerializable(typeof(Job))]
[JsonSerializable(typeof(RunSettings))]
[JsonSerializable(typeof(Machine))]
[JsonSerializable(typeof(Resist))]
internal sealed partial class SettingsJson : JsonSerializerContext;

/// <summary>The kind of a calibration and the numbers that make it up.</summary>
internal sealed class CalibrationJson : WrittenOnly<FieldCalibration>
{
    public override void Write(Utf8JsonWriter writer, FieldCalibration value, JsonSerializerOptions options)
    {
        writer.WriteStartObject();
        writer.WriteString("kind", value.GetType().Name);
        writer.WriteStartArray("numbers");
        foreach (double number in value.Numbers)
        {
            writer.WriteNumberValue(number);
        }

        writer.WriteEndArray();
        writer.WriteEndObject();
    }
}

/// <summary>Codes, then what they put out.</summary>
internal sealed class LinearityJson : WrittenOnly<CodeLinearity>
{
    public override void Write(Utf8JsonWriter writer, CodeLinearity value, JsonSerializerOptions options)
    {
        writer.WriteStartArray();
        foreach (double number in value.Numbers)
        {
            writer.WriteNumberValue(number);
        }

        writer.WriteEndArray();
    }
}

/// <summary>Every kind of work by its key.</summary>
internal sealed class LimitsJson : WrittenOnly<WorkLimits>
{
    public override void Write(Utf8JsonWriter writer, WorkLimits value, JsonSerializerOptions options)
    {
        writer.WriteStartObject();
        foreach (WorkKind kind in WorkKind.All)
        {
            writer.WriteNumber(kind.Key, value[kind]);
        }

        writer.WriteEndObject();
    }
}

/// <summary>Two numbers in a row, for x and y.</summary>
internal sealed class PlaceJson : WrittenOnly<(double X, double Y)>
{
    public override void Write(Utf8JsonWriter writer, (double X, double Y) value, JsonSerializerOptions options)
    {
        writer.WriteStartArray();
        writer.WriteNumberValue(value.X);
        writer.WriteNumberValue(value.Y);
        writer.WriteEndArray();
    }
}

/// <summary>A plain number.</summary>
internal sealed class DoseFactorJson : WrittenOnly<DoseFactor>
{
    public override void Write(Utf8JsonWriter writer, DoseFactor value, JsonSerializerOptions options) => writer.WriteNumberValue(value.Millionths / 1_000_000m);
}

/// <summary>Settings are read from YAML alone.</summary>
internal abstract class WrittenOnly<T> : JsonConverter<T>
{
    public sealed override T Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => throw new NotSupportedException();
}

/// <summary>The strategy's word in the style of the other names: "OneWayLines".</summary>
internal sealed class StrategyJson : WrittenOnly<FillStrategy>
{
    public override void Write(Utf8JsonWriter writer, FillStrategy value, JsonSerializerOptions options) =>
        writer.WriteStringValue(string.Concat(value.Word.Split(' ', '-').Select(part => char.ToUpperInvariant(part[0]) + part[1..])));
}
