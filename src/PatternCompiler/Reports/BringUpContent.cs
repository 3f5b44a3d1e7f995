using System.Collections.Immutable;
using PatternCompiler.Generate.BringUp;

namespace PatternCompiler.Reports;

/// <summary>Everything that the page of a bring-up shows.</summary>
/// <param name="MachineName">Name of the machine.</param>
/// <param name="ToolVersion">Version of the program.</param>
/// <param name="Steps">Its steps, in order.</param>
internal sealed record BringUpContent(string MachineName, string ToolVersion, ImmutableArray<BringUpStep> Steps)
{
    /// <summary>What the machine is: name and value.</summary>
    public required ImmutableArray<(string Name, string Value)> Facts { get; init; }

    /// <summary>Ending of the streams' files.</summary>
    public required string StreamEnding { get; init; }

    /// <summary>Shortest record of all steps.</summary>
    public required double ShortestSeconds { get; init; }

    /// <summary>Jumps or dots in a block of a stream.</summary>
    public required int RecordsPerBlock { get; init; }

    /// <summary>The controller holds a single block.</summary>
    public required bool HoldsOneBlock { get; init; }

    /// <summary>Something turns the beam off.</summary>
    public required bool HasBlanker { get; init; }

    /// <summary>The file of a picture, beside the page.</summary>
    public static string PictureName(BringUpStep step, BringUpView view) => view.Name.Length == 0 ? step.FileName + ".svg" : $"{step.FileName}-{view.Name}.svg";
}
