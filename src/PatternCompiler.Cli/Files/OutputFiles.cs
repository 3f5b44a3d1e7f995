using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Cli.Files;

/// <summary>Opens outputs and knows which are unfinished, so that an interrupted run can remove them.</summary>
internal sealed class OutputFiles
{
    /// <summary>Name that stands for standard output.</summary>
    public const string StandardName = "-";

    private const int BufferBytes = 1 << 17;

    private readonly List<OutputFile> unfinished = [];
    private readonly LeftoverFiles leftovers = new();
    private readonly Lock gate = new();

    /// <summary>Throws if what was found so far forbids an output: asked before one is begun, and before one gets its name.</summary>
    public Action Approve { get; set; } = static () => { };

    /// <summary>Starts an output.</summary>
    /// <param name="name">File name, or "-" for standard output.</param>
    /// <param name="isBinary">The bytes are not for a terminal; writing them there is refused.</param>
    public OutputFile Create(string name, bool isBinary = false)
    {
        Approve();
        OutputFile file = name == StandardName ? CreateStandard(isBinary) : CreateNamed(name);
        lock (gate)
        {
            unfinished.Add(file);
        }

        return file;
    }

    /// <summary>Removes every output that is not committed.</summary>
    public void DiscardAll()
    {
        OutputFile[] files;
        lock (gate)
        {
            files = [.. unfinished];
        }

        foreach (OutputFile file in files)
        {
            file.Discard(mayWait: false);
        }
    }

    internal void Forget(OutputFile file)
    {
        lock (gate)
        {
            unfinished.Remove(file);
        }
    }

    private OutputFile CreateStandard(bool isBinary)
    {
        if (isBinary && !Console.IsOutputRedirected)
        {
            throw new CompileException(
                CommandCodes.BinaryToTerminal,
                "the output is binary and would disturb the terminal",
                fix: "name a file with -o FILE, or send the output into a pipe");
        }

        return new OutputFile(this, StandardName, new PipelinedStream(new WriteGuard(StandardName, DescriptorStream.OpenOutput()), BufferBytes), null, null);
    }

    private OutputFile CreateNamed(string name)
    {
        return WriteGuard.Run(name, () =>
        {
            // A link keeps pointing where it points: its target is replaced, not the link.
            string path = new FileInfo(name).LinkTarget is null
                ? Path.GetFullPath(name)
                : File.ResolveLinkTarget(Path.GetFullPath(name), returnFinalTarget: true)!.FullName;
            if (Directory.Exists(path))
            {
                throw new IOException("it is a folder");
            }

            if (File.Exists(path) && !IsRegular(path))
            {
                var device = new FileStream(path, FileMode.Open, FileAccess.Write, FileShare.ReadWrite, bufferSize: 0);
                return new OutputFile(this, name, Guarded(name, device), null, null);
            }

            string folder = Path.GetDirectoryName(path)!;
            if (!Directory.Exists(folder))
            {
                throw new CompileException(
                    CommandCodes.CannotWrite,
                    "cannot write: the folder does not exist",
                    new SourcePlace(name),
                    $"create it with: mkdir -p {Path.GetDirectoryName(name)}");
            }

            leftovers.Clean(folder);
            string partial = Path.Combine(folder, LeftoverFiles.NameOf(Path.GetFileName(path)));
            var stream = new FileStream(partial, FileMode.Create, FileAccess.ReadWrite, FileShare.Read, bufferSize: 0);
            return new OutputFile(this, name, Guarded(name, stream), path, partial);
        });
    }

    // The runtime reports devices and pipes as normal files; only their place and whether they can be sought tell.
    private static bool IsRegular(string path)
    {
        if (path.StartsWith("/dev/", StringComparison.Ordinal) || path.StartsWith("/proc/", StringComparison.Ordinal))
        {
            return false;
        }

        using var probe = new FileStream(path, FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite, bufferSize: 0);
        return probe.CanSeek;
    }

    private static BufferedStream Guarded(string name, Stream stream) => new(new WriteGuard(name, stream), BufferBytes);
}
