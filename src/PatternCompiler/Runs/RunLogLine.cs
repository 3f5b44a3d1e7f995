using System.Text.Json;
using System.Text.Json.Serialization;

namespace PatternCompiler.Runs;

/// <summary>One line of a log of runs, as JSON. A line is written once and never changed; names end in their unit and keep their meaning.</summary>
/// <param name="Time">When, in UTC.</param>
/// <param name="Run">Which run: the parts of one that was resumed share it.</param>
/// <param name="Part">Which part of it, from 1.</param>
/// <param name="Event">What happened.</param>
internal sealed record RunLogLine(DateTime Time, string Run, int Part, RunEvent Event)
{
    /// <summary>Name of the stream as it was given.</summary>
    public string? Stream { get; init; }

    /// <summary>SHA-256 of the stream; null for one from a pipe.</summary>
    public string? Sha256 { get; init; }

    /// <summary>Name of the machine that the stream was made for.</summary>
    public string? Machine { get; init; }

    /// <summary>Digest of the machine's settings that the stream was made with, where it states one.</summary>
    public string? MachineSettings { get; init; }

    /// <summary>Digest of the process and dose settings that the stream was made with, where it states one.</summary>
    public string? ExposureSettings { get; init; }

    /// <summary>The link.</summary>
    public string? Link { get; init; }

    /// <summary>The job that made the stream, from the folder of the log.</summary>
    public string? Job { get; init; }

    /// <summary>The step of a run in steps that this is about.</summary>
    public string? Step { get; init; }

    /// <summary>Its number among the steps, from 1.</summary>
    public int? StepNumber { get; init; }

    /// <summary>Steps of the run.</summary>
    public int? Steps { get; init; }

    /// <summary>SHA-256 of all that the steps of the run write, before doses become dwells.</summary>
    public string? Pattern { get; init; }

    /// <summary>The beam current that the dwells of a step are made for, at its beginning, in ampere.</summary>
    public double? CurrentAmperes { get; init; }

    /// <summary>How long after that the current is expected to have gone on changing, in seconds.</summary>
    public double? LaterSeconds { get; init; }

    /// <summary>The current that is expected then, in ampere.</summary>
    public double? LaterAmperes { get; init; }

    /// <summary>What was asked and answered, by question.</summary>
    public SortedDictionary<string, string>? Answers { get; init; }

    /// <summary>What the operator notes of the sample and its processing, by name: lot, spin, bake, developer and so on.</summary>
    public SortedDictionary<string, string>? Notes { get; init; }

    /// <summary>What the stream comes from: the build's provenance, with hashes of all inputs and every setting.</summary>
    public JsonElement? Provenance { get; init; }

    /// <summary>Version of the program.</summary>
    public string? Version { get; init; }

    /// <summary>Records of the stream.</summary>
    public long? Records { get; init; }

    /// <summary>First record of this part, counted from 1.</summary>
    public long? From { get; init; }

    /// <summary>Records of the stream that are written completely, by the receiver's word.</summary>
    public long? Written { get; init; }

    /// <summary>How often sending went on after a fault of the link.</summary>
    public int? Retries { get; init; }

    /// <summary>Seconds since this part began.</summary>
    public double? Seconds { get; init; }

    /// <summary>Number of the message that ended it, such as PC2021.</summary>
    public string? Code { get; init; }

    /// <summary>What happened, in words.</summary>
    public string? Text { get; init; }

    /// <summary>The line, ended by a line feed.</summary>
    public byte[] ToBytes()
    {
        byte[] text = JsonSerializer.SerializeToUtf8Bytes(this, RunLogTypes.Default.RunLogLine);
        return [.. text, (byte)'\n'];
    }

    /// <summary>Reads what <see cref="ToBytes"/> gives; null if the text is no such line.</summary>
    public static RunLogLine? TryRead(string line)
    {
        try
        {
            return JsonSerializer.Deserialize(line, RunLogTypes.Default.RunLogLine) is { Run: not null, Part: > 0 } read ? read : null;
        }
        catch (JsonException)
        {
            return null;
        }
    }
}

/// <summary>What a line of a log of runs tells of.</summary>
internal enum RunEvent
{
    /// <summary>A part begins.</summary>
    [JsonStringEnumMemberName("started")]
    Started,

    /// <summary>How far it is.</summary>
    [JsonStringEnumMemberName("progress")]
    Progress,

    /// <summary>A fault of the link behind which it goes on.</summary>
    [JsonStringEnumMemberName("fault")]
    Fault,

    /// <summary>Every record is written.</summary>
    [JsonStringEnumMemberName("written")]
    Written,

    /// <summary>The user stopped it, and the receiver has confirmed that the beam is off.</summary>
    [JsonStringEnumMemberName("stopped")]
    Stopped,

    /// <summary>It ended early.</summary>
    [JsonStringEnumMemberName("failed")]
    Failed,

    /// <summary>The operator has answered before a step.</summary>
    [JsonStringEnumMemberName("answered")]
    Answered,

    /// <summary>Notes are added, at any time.</summary>
    [JsonStringEnumMemberName("noted")]
    Noted,
}

/// <summary>Types of the lines.</summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase, DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull, UseStringEnumConverter = true)]
[JsonSerializable(typeof(RunLogLine))]
internal sealed partial class RunLogTypes : JsonSerializerContext;
