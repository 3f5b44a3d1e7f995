using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;

namespace PatternCompiler.Cli.Files;

/// <summary>Opens inputs, with faults told as diagnostics.</summary>
internal static class InputFile
{
    /// <summary>Name that stands for standard input.</summary>
    public const string StandardName = "-";

    private const string NothingToRead = "/dev/null";

    /// <summary>Opens a named file or, for "-", standard input.</summary>
    public static InputStream Open(string name, ProgressDisplay progress)
    {
        if (name == StandardName)
        {
            Stream standard = OpenStandard();
            if (!Console.IsInputRedirected)
            {
                throw new CompileException(
                    CommandCodes.NoInput,
                    "there is nothing to read: no input file is named and nothing is piped in",
                    fix: "name a file, or pipe a document in; --help shows examples");
            }

            return new InputStream(StandardName, standard, progress);
        }

        return new InputStream(name, OpenNamed(name), progress);
    }

    /// <summary>As <see cref="Open"/>, for a reader that goes back to the beginning of a file.</summary>
    public static Stream OpenAgainAndAgain(string name) =>
        name == StandardName ? OpenStandard() : OpenNamed(name);

    /// <summary>Standard input, unless whoever started the program has closed it.</summary>
    public static Stream OpenStandard() => StandardDescriptors.IsClosed(StandardDescriptors.Input)
        ? throw new CompileException(
            CommandCodes.CannotRead, "cannot read: standard input is closed", fix: "name a file, or pipe a document in")
        : Console.OpenStandardInput();

    private static FileStream OpenNamed(string name)
    {
        try
        {
            switch (FileSystem.Look(name))
            {
                case { Kind: FileKind.Folder }:
                    throw new CompileException(CommandCodes.CannotRead, "cannot read: it is a folder", new SourcePlace(name), "name a file");

                // Bytes of zero without an end are a valid document in some formats, and would fill the disk.
                case { Kind: FileKind.Device } when FileSystem.FollowLinks(name) != NothingToRead:
                    throw new CompileException(
                        CommandCodes.CannotRead, "cannot read: it is a device, which need not end", new SourcePlace(name), "name a file, or pipe a document in");
            }

            return FileSystem.OpenRead(name, bufferSize: 0, FileOptions.SequentialScan);
        }
        catch (Exception fault) when (fault is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new CompileException(CommandCodes.FileNotFound, "there is no such file", new SourcePlace(name), Nearest(name));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw InputStream.Explain(name, fault);
        }
    }

    private static string Nearest(string name)
    {
        string folder = Path.GetDirectoryName(name) is { Length: > 0 } given ? given : ".";
        return FileSystem.FolderExists(folder) ? "check the name" : $"there is no folder {folder} either: check the path";
    }
}
