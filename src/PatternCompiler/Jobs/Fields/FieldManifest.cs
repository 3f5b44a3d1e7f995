using System.Collections.Immutable;
using PatternCompiler.Files;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Jobs.Fields;

/// <summary>The list of a job's write fields: where the stage goes, in which order, and what is written there.</summary>
/// <param name="JobName">Name of the job.</param>
/// <param name="MachineName">Name of the machine.</param>
/// <param name="Plan">Sizes and places of the fields.</param>
/// <param name="Visits">The visits in order.</param>
internal sealed record FieldManifest(string JobName, string MachineName, FieldPlan Plan, ImmutableArray<FieldVisit> Visits)
{
    /// <summary>Time of all moves of the stage.</summary>
    public double MoveSeconds => Visits.Sum(visit => visit.MoveSeconds);

    /// <summary>Time that the beam takes, or null where the fields are not compiled so far.</summary>
    public double? WriteSeconds => Visits.All(visit => visit.WriteSeconds is not null) ? Visits.Sum(visit => visit.WriteSeconds) : null;
}

/// <summary>One file that belongs to a write field.</summary>
/// <param name="Path">Its name, relative to the manifest.</param>
/// <param name="Content">What it holds, e.g. "stream" or "figures".</param>
/// <param name="Bytes">Its size.</param>
/// <param name="Hash">SHA-256 of its content, in hexadecimal.</param>
internal sealed record FieldFile(string Path, string Content, long Bytes, string Hash)
{
    /// <summary>A file that was made, named relative to the manifest.</summary>
    internal static FieldFile Of(BuiltFile file, string manifestPath)
    {
        string folder = System.IO.Path.GetDirectoryName(manifestPath) ?? "";
        string name = folder.Length == 0 ? file.Path : FileSystem.RelativePath(folder, file.Path);
        return new FieldFile(name.Replace('\\', '/'), file.Content, file.Bytes, file.Hash ?? "");
    }
}

/// <summary>One visit of the stage.</summary>
/// <param name="Field">The write field.</param>
/// <param name="StageXNanometres">Reading of the stage.</param>
/// <param name="StageYNanometres">Reading of the stage.</param>
/// <param name="Figures">Number of figures written there.</param>
/// <param name="MoveSeconds">Time of the move that leads there.</param>
/// <param name="WriteSeconds">Time that the beam takes there, or null where it is not compiled so far.</param>
/// <param name="Files">Its files.</param>
internal sealed record FieldVisit(
    WriteField Field,
    double StageXNanometres,
    double StageYNanometres,
    int Figures,
    double MoveSeconds,
    double? WriteSeconds,
    ImmutableArray<FieldFile> Files)
{
    /// <summary>What else there is to the stop.</summary>
    public StopDetails Details { get; init; } = StopDetails.None;
}
