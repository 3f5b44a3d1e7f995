namespace PatternCompiler.Jobs;

/// <summary>The outputs of one build: all get their names at the end, or none does.</summary>
internal sealed class BuildOutputs(IBuildFiles files) : IDisposable
{
    private readonly List<(string Path, string Content, IBuildOutput Output, CountingStream Stream)> open = [];

    /// <summary>Starts an output.</summary>
    public Stream Create(string path, string content, bool isBinary)
    {
        IBuildOutput output = files.Create(path, isBinary);
        var stream = new CountingStream(output.Stream);
        open.Add((path, content, output, stream));
        return stream;
    }

    /// <summary>Gives every output its name.</summary>
    public IEnumerable<BuiltFile> Commit()
    {
        foreach ((_, _, IBuildOutput output, CountingStream stream) in open)
        {
            stream.Flush();
            output.Commit();
        }

        return open.Select(entry => new BuiltFile(entry.Path, entry.Content, entry.Stream.Count));
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
