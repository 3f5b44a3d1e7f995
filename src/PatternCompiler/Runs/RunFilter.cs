using System.Collections.Immutable;

namespace PatternCompiler.Runs;

/// <summary>Which runs of a log are meant; what is null or empty takes all.</summary>
internal sealed record RunFilter
{
    /// <summary>Part of the stream's name, or the first letters of its hash.</summary>
    public string? Stream { get; init; }

    /// <summary>Part of the machine's name.</summary>
    public string? Machine { get; init; }

    /// <summary>Begun at this time or later.</summary>
    public DateTime? Since { get; init; }

    /// <summary>Begun before this time.</summary>
    public DateTime? Until { get; init; }

    /// <summary>How they stand.</summary>
    public RunOutcome? Outcome { get; init; }

    /// <summary>Notes that they have, name by name.</summary>
    public ImmutableArray<KeyValuePair<string, string>> Notes { get; init; } = [];

    /// <summary>True for a run that is meant.</summary>
    public bool Takes(LoggedRun run) =>
        (Stream is null || Holds(run.First.Stream, Stream) || run.First.Sha256?.StartsWith(Stream, StringComparison.OrdinalIgnoreCase) == true)
        && (Machine is null || Holds(run.First.Machine, Machine))
        && !(run.First.Time < Since)
        && !(run.First.Time >= Until)
        && (Outcome is null || run.Outcome == Outcome)
        && Notes.All(note => run.Notes.GetValueOrDefault(note.Key) == note.Value);

    private static bool Holds(string? text, string part) => text?.Contains(part, StringComparison.OrdinalIgnoreCase) == true;
}
