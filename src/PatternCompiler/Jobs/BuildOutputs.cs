using System.Collections.Immutable;

namespace PatternCompiler.Jobs;

/// <summary>The outputs of one build: all get their names at the end, or none does.</summary>
/// <param name="files">Where they go.</param>
/// <param name="hashes">Hash them, for a report.</param>
internal sealed class BuildOutputs(IBuildFiles files, bool hashes) : IDisposable
{
    private readonly List<(string Path, string Content, IBuildOutput Output, CountingStream Stream)> open = [];

    /// <summary>Starts an output.</summary>
    public Stream Create(string path, string content, bool isBinary)
    {
        IBuildOutput output = files.Create(path, isBinary);
        var stream = new CountingStream(output.Stream, hashes);
        open.Add((path, content, output, stream));
        return stream;
    }

    /// <summary>What has been written so far, all of it complete.</summary>
    public ImmutableArray<BuiltFile> Files =>
        [.. open.Select(entry => new BuiltFile(entry.Path, entry.Content, entry.Stream.Count) { Hash = entry.Stream.Hash() })];

    /// <summary>Gives every output its name.</summary>
    public void Commit()
    {
        foreach ((_, _, IBuildOutput output, CountingStream stream) in open)
        {
            stream.Flush();
            output.Commit();
        }
    }

    /// <summary>Removes what has no name yet.</summary>
    public void Dispose()
    {
        foreach ((_, _, IBuildOutput output, _) in open)
        {
            output.Dispose();
        }
    }
}
