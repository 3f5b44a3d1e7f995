using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;

namespace PatternCompiler.Cli.Files;

/// <summary>Opens outputs and knows which are unfinished, so that an interrupted run can remove them.</summary>
internal sealed class OutputFiles
{
    /// <summary>Name that stands for standard output.</summary>
    public const string StandardName = "-";

    private const int BufferBytes = 1 << 17;

    private readonly List<OutputFile> unfinished = [];
    private readonly LeftoverFiles leftovers = new();
    private readonly Dictionary<string, string> made = new(StringComparer.Ordinal);
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

    /// <summary>Standard output, unless whoever started the program has closed it.</summary>
    public static Stream OpenStandard() => new WriteGuard(StandardName, DescriptorStream.OpenOutput());

    private OutputFile CreateStandard(bool isBinary)
    {
        if (isBinary && !Console.IsOutputRedirected)
        {
            throw new CompileException(
                CommandCodes.BinaryToTerminal,
                "the output is binary and would disturb the terminal",
                fix: "name a file with -o FILE, or send the output into a pipe");
        }

        return new OutputFile(this, StandardName, new PipelinedStream(OpenStandard(), BufferBytes), null, null);
    }

    private OutputFile CreateNamed(string name) => WriteGuard.Run(name, () =>
    {
        FileState? there = FileSystem.Look(name);
        if (there is { Kind: FileKind.Other or FileKind.Device })
        {
            return new OutputFile(this, name, Guarded(name, FileSystem.OpenShared(name, FileAccess.Write)), null, null);
        }

        if (there is { Kind: FileKind.Folder })
        {
            throw new IOException("it is a folder");
        }

        // A link keeps pointing where it points: its target is replaced, not the link.
        string path = FileSystem.FollowLinks(name);
        string folder = Path.GetDirectoryName(path)!;
        if (!FileSystem.FolderExists(folder))
        {
            throw NoFolder(name, path, folder);
        }

        if (there is not null)
        {
            // Taking the name of a write-protected file would need no permission for the file itself.
            FileSystem.OpenShared(path, FileAccess.Write).Dispose();
        }

        RefuseTwice(name, FileSystem.IdentityOf(path));
        leftovers.Clean(folder);
        string partial = Path.Combine(folder, LeftoverFiles.NameOf(Path.GetFileName(path)));
        return new OutputFile(this, name, Guarded(name, FileSystem.CreateNew(partial)), path, partial);
    });

    private static CompileException NoFolder(string name, string path, string folder)
    {
        string said = Path.GetDirectoryName(name) ?? "";
        bool isLink = path != FileSystem.FullPath(name);
        return new CompileException(
            CommandCodes.CannotWrite,
            isLink ? $"cannot write: it is a link to '{path}', whose folder does not exist" : "cannot write: the folder does not exist",
            new SourcePlace(name),
            isLink ? $"create the folder with: mkdir -p {ShellWord.Of(folder)}; or remove the link" : $"create it with: mkdir -p {ShellWord.Of(said)}");
    }

    /// <summary>One run makes a file once. What the command line tells is refused earlier; this is for names that come up on the way.</summary>
    private void RefuseTwice(string name, string identity)
    {
        lock (gate)
        {
            if (!made.TryAdd(identity, name))
            {
                throw new CompileException(
                    CommandCodes.OutputClash, $"the outputs '{made[identity]}' and '{name}' are one file", fix: "give them different names");
            }
        }
    }

    private static BufferedStream Guarded(string name, Stream stream) => new(new WriteGuard(name, stream), BufferBytes);
}
