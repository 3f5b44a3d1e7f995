using Microsoft.Win32.SafeHandles;

namespace PatternCompiler.Files;

/// <summary>
/// The only way to files by name. On Linux every name leads to its file, UTF-8 or not (see <see cref="FileName"/>); other systems
/// have names of characters, and the runtime's functions do. Faults are the runtime's exceptions.
/// </summary>
internal static class FileSystem
{
    private const int MostLinks = 40;

    /// <summary>Opens a file for reading.</summary>
    public static FileStream OpenRead(string path, int bufferSize = 4096, FileOptions options = FileOptions.None) => IsOdd(path)
        ? new FileStream(LinuxFiles.Open(path, LinuxFiles.ReadOnly), FileAccess.Read, bufferSize)
        : new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, bufferSize, options);

    /// <summary>Opens a device, pipe or file as it is; others may have it open, too.</summary>
    public static FileStream OpenShared(string path, FileAccess access) => IsOdd(path)
        ? new FileStream(LinuxFiles.Open(path, access == FileAccess.Read ? LinuxFiles.ReadOnly : LinuxFiles.WriteOnly), access, 0)
        : new FileStream(path, FileMode.Open, access, FileShare.ReadWrite, bufferSize: 0);

    /// <summary>Makes a file that is written and read; one that is there already is a fault.</summary>
    public static FileStream CreateNew(string path) => IsOdd(path)
        ? new FileStream(LinuxFiles.Open(path, LinuxFiles.ReadWrite | LinuxFiles.CreateNew), FileAccess.ReadWrite, 0)
        : new FileStream(path, FileMode.CreateNew, FileAccess.ReadWrite, FileShare.Read, bufferSize: 0);

    /// <summary>Makes a file that is written, or empties the one that is there.</summary>
    public static FileStream CreateOrEmpty(string path) => IsOdd(path)
        ? new FileStream(LinuxFiles.Open(path, LinuxFiles.WriteOnly | LinuxFiles.CreateOrTruncate), FileAccess.Write, 0)
        : new FileStream(path, FileMode.Create, FileAccess.Write, FileShare.Read, bufferSize: 0);

    /// <summary>Makes a file that is written, or opens the one that is there at its end. On Linux a write is added whole, whoever else adds to it.</summary>
    public static FileStream OpenToAppend(string path) => LinuxFiles.IsHere
        ? new FileStream(LinuxFiles.Open(path, LinuxFiles.WriteOnly | LinuxFiles.CreateOrAppend), FileAccess.Write, 0)
        : new FileStream(path, FileMode.Append, FileAccess.Write, FileShare.ReadWrite, bufferSize: 0);

    /// <summary>Gives a file another name, in place of what has it.</summary>
    public static void Rename(string from, string to)
    {
        if (IsOdd(from) || IsOdd(to))
        {
            LinuxFiles.Rename(from, to);
        }
        else
        {
            File.Move(from, to, overwrite: true);
        }
    }

    /// <summary>Removes a file; none at all is no fault.</summary>
    public static void Delete(string path)
    {
        if (!IsOdd(path))
        {
            File.Delete(path);
            return;
        }

        try
        {
            LinuxFiles.Delete(path);
        }
        catch (FileNotFoundException)
        {
            // As the runtime has it.
        }
    }

    /// <summary>What is at a name, links followed; null if there is nothing, or nothing that may be looked at.</summary>
    public static FileState? Look(string path)
    {
        if (path.Length == 0 || path.Contains('\0', StringComparison.Ordinal))
        {
            return null;
        }

        if (LinuxFiles.IsHere)
        {
            return LinuxFiles.Look(path);
        }

        if (Directory.Exists(path))
        {
            return new FileState(FileKind.Folder, 0, 0, FoldedPath(path));
        }

        var file = new FileInfo(path);
        return file.Exists ? new FileState(KindOf(path), file.Length, file.LastWriteTimeUtc.Ticks, FoldedPath(path)) : null;
    }

    /// <summary>True if there is a file, of whatever kind but a folder.</summary>
    public static bool FileExists(string path) => Look(path) is { Kind: not FileKind.Folder };

    /// <summary>True if there is a folder.</summary>
    public static bool FolderExists(string path) => Look(path) is { Kind: FileKind.Folder };

    /// <summary>Makes a folder and those above it that are missing.</summary>
    public static void CreateFolder(string path)
    {
        if (!IsOdd(path))
        {
            Directory.CreateDirectory(path);
        }
        else if (!FolderExists(path))
        {
            if (Path.GetDirectoryName(Path.TrimEndingDirectorySeparator(path)) is { Length: > 0 } above)
            {
                CreateFolder(above);
            }

            LinuxFiles.CreateFolder(path);
        }
    }

    /// <summary>Removes a folder that holds nothing.</summary>
    public static void DeleteFolder(string path)
    {
        if (IsOdd(path))
        {
            LinuxFiles.DeleteFolder(path);
        }
        else
        {
            Directory.Delete(path);
        }
    }

    /// <summary>Names in a folder, in no fixed order.</summary>
    public static IReadOnlyList<FolderEntry> List(string folder) => LinuxFiles.IsHere
        ? LinuxFiles.List(folder)
        :
        [
            .. new DirectoryInfo(folder).EnumerateFileSystemInfos().Select(entry =>
                new FolderEntry(entry.Name, entry.Attributes.HasFlag(FileAttributes.Directory), entry.LinkTarget is not null)),
        ];

    /// <summary>Gives a file the time at which it was last written.</summary>
    public static void SetModified(string path, long ticks)
    {
        using SafeFileHandle file = IsOdd(path) ? LinuxFiles.Open(path, LinuxFiles.ReadOnly) : File.OpenHandle(path, FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite);
        File.SetLastWriteTimeUtc(file, new DateTime(ticks, DateTimeKind.Utc));
    }

    /// <summary>The whole path of a name.</summary>
    public static string FullPath(string path) =>
        LinuxFiles.IsHere && !Path.IsPathRooted(path) ? Path.GetFullPath(path, LinuxFiles.WorkingFolder()) : Path.GetFullPath(path);

    /// <summary>The path of a name as seen from a folder.</summary>
    public static string RelativePath(string folder, string path) => Path.GetRelativePath(FullPath(folder), FullPath(path));

    /// <summary>The whole path of what a name leads to if it is a link, and the links that it is reached by; the file need not be there.</summary>
    /// <exception cref="IOException">The links lead in a circle.</exception>
    public static string FollowLinks(string path)
    {
        string followed = FullPath(path);
        for (int links = 0; (LinuxFiles.IsHere ? LinuxFiles.LinkTarget(followed) : new FileInfo(followed).LinkTarget) is { } target; links++)
        {
            if (links == MostLinks)
            {
                throw new IOException("its links lead in a circle");
            }

            followed = Path.GetFullPath(target, Path.GetDirectoryName(followed)!);
        }

        return followed;
    }

    /// <summary>
    /// The same for every way to write a name, whether its file is there or not: the file's own identity, or that of its folder and
    /// the name in it. The path itself where there is no such folder.
    /// </summary>
    public static string IdentityOf(string path)
    {
        string followed = FollowLinks(path);
        if (Look(followed) is { } there)
        {
            return there.Identity;
        }

        return Path.GetDirectoryName(followed) is { } folder && Look(folder) is { } above
            ? $"{above.Identity}/{(IsFoldedUsually ? Path.GetFileName(followed).ToUpperInvariant() : Path.GetFileName(followed))}"
            : followed;
    }

    /// <summary>True if a folder takes names that differ in capitals only as one. Found out by making a file for a moment.</summary>
    public static bool FoldsCase(string folder)
    {
        string probe = Path.Combine(folder, $".patternc-case-{Environment.ProcessId}");
        try
        {
            using FileStream made = CreateNew(probe);
            return Look(Path.Combine(folder, Path.GetFileName(probe).ToUpperInvariant())) is not null;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            return false;
        }
        finally
        {
            Delete(probe);
        }
    }

    private static bool IsOdd(string path) => LinuxFiles.IsHere && (FileName.HasLoneBytes(path) || !Path.IsPathRooted(path) && IsFolderOdd);

    // The runtime completes relative names by itself in places, with a current folder that it has read as characters.
    private static bool IsFolderOdd { get; } = LinuxFiles.IsHere && FileName.HasLoneBytes(LinuxFiles.WorkingFolder());

    // The file systems of Windows and macOS usually do not tell capitals from small letters.
    private static bool IsFoldedUsually { get; } = OperatingSystem.IsWindows() || OperatingSystem.IsMacOS();

    private static string FoldedPath(string path) => IsFoldedUsually ? FollowLinks(path).ToUpperInvariant() : FollowLinks(path);

    // The runtime reports devices and pipes as normal files; only their place and whether they can be sought tell.
    private static FileKind KindOf(string path)
    {
        if (path.StartsWith("/dev/", StringComparison.Ordinal))
        {
            return FileKind.Other;
        }

        try
        {
            using var probe = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite, bufferSize: 0);
            return probe.CanSeek ? FileKind.Regular : FileKind.Other;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            return FileKind.Regular;
        }
    }
}

/// <summary>A name in a folder.</summary>
/// <param name="Name">The name alone.</param>
/// <param name="IsFolder">It is a folder, or a link to one.</param>
/// <param name="IsLink">It is a link.</param>
internal readonly record struct FolderEntry(string Name, bool IsFolder, bool IsLink);
