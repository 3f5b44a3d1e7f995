using System.Security.Cryptography;
using System.Text.Json;
using PatternCompiler.Cli.Files;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Jobs.Provenance;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Cli.Links;

/// <summary>A stream that is sent, and what its sender knows of it.</summary>
/// <param name="Source">Its bytes; from the beginning where they can be read again.</param>
/// <param name="Name">Its name as it was given.</param>
/// <param name="Header">What its header says; null for a stream from a pipe.</param>
/// <param name="Records">Its records; null for a stream from a pipe.</param>
/// <param name="ProvenancePath">The provenance file of its build; null if none is given.</param>
/// <param name="Notes">The operator's notes.</param>
internal sealed record SentStream(
    Stream Source, string Name, RecordsHeader? Header, long? Records, string? ProvenancePath, IReadOnlyCollection<KeyValuePair<string, string>> Notes)
{
    /// <summary>SHA-256 of the stream; null for one from a pipe.</summary>
    public string? Hash()
    {
        if (!Source.CanSeek)
        {
            return null;
        }

        Source.Position = 0;
        string hash = Convert.ToHexStringLower(SHA256.HashData(Source));
        Source.Position = 0;
        return hash;
    }

    /// <summary>What the stream was made from; null if no file tells.</summary>
    /// <exception cref="CompileException">The file is of another stream.</exception>
    public JsonElement? Provenance(string? hash)
    {
        if (ProvenancePath is not { } path)
        {
            return null;
        }

        using Stream file = InputFile.OpenAgainAndAgain(path);
        JsonElement provenance = ProvenanceComparer.Read(file, path).RootElement;
        return ProvenanceOutputs.NameOf(provenance, hash) is not null
            ? provenance
            : throw new CompileException(
                RunCodes.OtherProvenance,
                hash is null ? "a stream from a pipe cannot be compared with a provenance file" : $"none of the outputs that this file tells of has the bytes of '{Name}'",
                new SourcePlace(path),
                hash is null ? "send the stream from a file" : "build again with --provenance, and send what was built then");
    }

    /// <summary>The job's path from the folder of the log, if the stream lies where the build had put it; else null.</summary>
    public string? JobFrom(string log, JsonElement provenance, string? hash)
    {
        string stream = FileSystem.FullPath(Name);
        string? output = ProvenanceOutputs.NameOf(provenance, hash)?.Replace('/', Path.DirectorySeparatorChar);
        if (output is null || ProvenanceOutputs.JobOf(provenance) is not { } job || !stream.EndsWith(Path.DirectorySeparatorChar + output, StringComparison.Ordinal))
        {
            return null;
        }

        string path = Path.Combine(stream[..^output.Length], job);
        return FileSystem.FileExists(path) ? FileSystem.RelativePath(Path.GetDirectoryName(FileSystem.FullPath(log))!, path) : null;
    }
}
