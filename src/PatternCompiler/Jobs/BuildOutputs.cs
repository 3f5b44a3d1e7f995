using System.Collections.Immutable;

namespace PatternCompiler.Jobs;

/// <summary>The outputs of one build: all get their names at the end, or none does.</summary>
/// <param name="files">Where they go.</param>
/// <param name="hashes">Hash them, for a report or a manifest.</param>
internal sealed class BuildOutputs(IBuildFiles files, bool hashes) : IDisposable
{
    private readonly List<(string Path, string Content, IBuildOutput Output, CountingStream Stream)> open = [];
    private readonly List<BuiltFile> closed = [];

    /// <summary>Starts an output.</summary>
    public Stream Create(string path, string content, bool isBinary)
    {
        IBuildOutput output = files.Create(path, isBinary);
        var stream = new CountingStream(output.Stream, hashes);
        open.Add((path, content, output, stream));
        return stream;
    }

    /// <summary>Number of outputs so far.</summary>
    public int Count => open.Count;

    /// <summary>What has been written so far, all of it complete.</summary>
    public ImmutableArray<BuiltFile> Files => [.. closed, .. Enumerable.Range(closed.Count, open.Count - closed.Count).Select(Describe)];

    /// <summary>
    /// Everything so far is complete: closes it, since a plan may have more write fields than files can be open. Returns what was
    /// not closed before.
    /// </summary>
    public ImmutableArray<BuiltFile> Close()
    {
        int first = closed.Count;
        for (int i = first; i < open.Count; i++)
        {
            closed.Add(Describe(i));
            open[i].Stream.Flush();
            open[i].Output.Close();
        }

        return [.. closed.Skip(first)];
    }

    /// <summary>Gives every output its name.</summary>
    public void Commit()
    {
        for (int i = 0; i < open.Count; i++)
        {
            if (i >= closed.Count)
            {
                open[i].Stream.Flush();
            }

            open[i].Output.Commit();
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

    private BuiltFile Describe(int index) =>
        new(open[index].Path, open[index].Content, open[index].Stream.Count) { Hash = open[index].Stream.Hash() };
}
