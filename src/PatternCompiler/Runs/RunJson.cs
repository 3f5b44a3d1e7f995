using System.Text.Json;
using System.Text.Json.Serialization;
using PatternCompiler.Files;

namespace PatternCompiler.Runs;

/// <summary>Writes runs as JSON for scripts.</summary>
internal static class RunJson
{
    /// <summary>Writes one object and a line feed.</summary>
    public static void Write(IEnumerable<LoggedRun> runs, Stream output) =>
        JsonFile.Write(new RunsDocument(runs.Select(run => new RunDocument(run))), RunJsonTypes.Default, output);
}

internal sealed record RunsDocument(IEnumerable<RunDocument> Runs);

/// <summary>Every property is a key, in this order.</summary>
internal readonly struct RunDocument(LoggedRun run)
{
    public string Run => run.First.Run;
    public DateTime Begun => run.First.Time;
    public DateTime LastHeard => run.Last.Time;
    public string Outcome => LoggedRun.Outcomes.WordOf(run.Outcome);
    public string? Stream => run.First.Stream;
    public string? Sha256 => run.First.Sha256;
    public string? Machine => run.First.Machine;
    public string? MachineSettings => run.First.MachineSettings;
    public string? ExposureSettings => run.First.ExposureSettings;
    public string? Link => run.First.Link;
    public string? Version => run.First.Version;
    public string? Job => run.Job;
    public long? Records => run.Records;
    public long Written => run.Written;
    public int Parts => run.Parts;
    public int Faults => run.Faults;
    public string? Code => run.Last.Code;
    public string? Text => run.Last.Text;
    public IEnumerable<StepDocument>? Steps => run.Steps.IsEmpty ? null : run.Steps.Select(step => new StepDocument(step.Key, step.Value));
    public IReadOnlyDictionary<string, string> Notes => run.Notes;
    public JsonElement? Provenance => run.Provenance;
}

/// <summary>Every property is a key, in this order.</summary>
internal readonly struct StepDocument(int number, LoggedStep step)
{
    public int Number => number;
    public string Name => step.Name;
    public string? Stream => step.Stream;
    public string? Sha256 => step.Sha256;
    public string Outcome => LoggedRun.Outcomes.WordOf(step.Outcome ?? RunOutcome.Open);
    public long Records => step.Records;
    public long Written => step.Written;
    public IReadOnlyDictionary<string, string> Answers => step.Answers;
}

[JsonSourceGenerationOptions(DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull)]
[JsonSerializable(typeof(RunsDocument))]
internal sealed partial class RunJsonTypes : JsonSerializerContext;
