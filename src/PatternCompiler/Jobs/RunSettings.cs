using System.Collections.Immutable;

namespace PatternCompiler.Jobs;

/// <summary>What a run of a job asks of its operator, and where it holds.</summary>
/// <param name="Checks">Lines of the checklist beside those that follow from the settings.</param>
/// <param name="Groups">Layers that are written together, with a hold between the groups; empty to write all without one.</param>
/// <param name="HoldsBetweenLayers">Every layer is a group of its own.</param>
/// <param name="Readings">What is read and entered at each hold.</param>
/// <param name="CurrentWithin">Largest part by which the current may differ from that of the machine file.</param>
/// <param name="Copies">Copies of the pattern, each written after a hold; empty for the pattern as it stands.</param>
internal sealed record RunSettings(
    ImmutableArray<string> Checks,
    ImmutableArray<RunGroup> Groups,
    bool HoldsBetweenLayers,
    ImmutableArray<RunReading> Readings,
    double CurrentWithin,
    ImmutableArray<RunCopy> Copies)
{
    /// <summary>For a job that says nothing: one hold before each write field.</summary>
    public static RunSettings Usual { get; } = new([], [], false, [], UsualCurrentWithin, []);

    /// <summary>Name of the group of all layers that no group names.</summary>
    public const string Rest = "rest";

    /// <summary>Names that groups and copies cannot have, because questions are called by them.</summary>
    public static readonly ImmutableArray<string> Reserved = [Rest, "start", "any"];

    /// <summary>A current that differs more is another aperture or a misread meter: common practice, no source.</summary>
    public const double UsualCurrentWithin = 0.2;
}

/// <summary>Layers that are written together.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Layers">The layers.</param>
internal sealed record RunGroup(string Name, ImmutableArray<string> Layers);

/// <summary>What an operator reads and enters at a hold.</summary>
internal enum RunReading
{
    /// <summary>The beam current on the sample; dwells of what follows are those for it.</summary>
    Current,

    /// <summary>The focus, for the log.</summary>
    Focus,

    /// <summary>What the stage shows, for the log.</summary>
    Stage,
}

/// <summary>One copy of the pattern.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="XNanometres">Moved right by this.</param>
/// <param name="YNanometres">Moved up by this.</param>
/// <param name="DoseFactor">Multiplies every base dose.</param>
/// <param name="Focus">The focus that the operator is to set; null to leave it.</param>
internal sealed record RunCopy(string Name, double XNanometres, double YNanometres, double DoseFactor, string? Focus);
