using PatternCompiler.Files;

namespace PatternCompiler.Cli.Files;

/// <summary>
/// One output being written. A regular file is written beside its final name and renamed by <see cref="Commit"/>, so
/// that the name never holds half a document; without <see cref="Commit"/> nothing is left. Standard output and devices
/// are written directly.
/// </summary>
internal sealed class OutputFile : IDisposable
{
    private readonly OutputFiles owner;
    private readonly string? finalPath;
    private readonly string? partialPath;
    private readonly Lock gate = new();
    private bool finished;
    private bool isClosed;

    internal OutputFile(OutputFiles owner, string name, Stream stream, string? finalPath, string? partialPath)
    {
        this.owner = owner;
        this.finalPath = finalPath;
        this.partialPath = partialPath;
        Name = name;
        Stream = stream;
    }

    /// <summary>The name that the user gave, "-" for standard output.</summary>
    public string Name { get; }

    /// <summary>Takes the bytes. Faults come out as the errors of <see cref="WriteGuard"/>.</summary>
    public Stream Stream { get; }

    /// <summary>Everything is written, but the file gets its name later: flushes and closes it.</summary>
    public void Close()
    {
        Stream.Flush();
        lock (gate)
        {
            Stream.Dispose();
            isClosed = true;
        }
    }

    /// <summary>Everything is written: flushes, closes and gives the file its name.</summary>
    public void Commit()
    {
        owner.Approve();
        if (!isClosed)
        {
            Stream.Flush();
        }

        lock (gate)
        {
            if (finished)
            {
                return;
            }

            Stream.Dispose();
            if (partialPath is not null)
            {
                WriteGuard.Run(Name, () => FileSystem.Rename(partialPath, finalPath!));
            }

            finished = true;
        }

        owner.Forget(this);
    }

    /// <summary>Removes what was written unless it was committed.</summary>
    public void Dispose() => Discard(mayWait: true);

    /// <summary>Removes what was written unless it was committed.</summary>
    /// <param name="mayWait">
    /// False leaves standard output and devices alone: closing them writes what is left, and a reader that takes nothing would
    /// keep an interrupted program from ending.
    /// </param>
    internal void Discard(bool mayWait)
    {
        lock (gate)
        {
            if (finished)
            {
                return;
            }

            finished = true;
            if (partialPath is not null)
            {
                try
                {
                    FileSystem.Delete(partialPath);
                }
                catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
                {
                    // The first fault has been reported already; a file that cannot be removed adds nothing to it.
                }
            }
        }

        try
        {
            if (mayWait || partialPath is not null)
            {
                Stream.Dispose();
            }
        }
        catch (Exception fault) when (fault is Diagnostics.CompileException or Terminal.OutputClosedException)
        {
            // As above: closing flushes, and what failed once fails again.
        }

        owner.Forget(this);
    }
}
