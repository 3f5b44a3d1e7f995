using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;

namespace PatternCompiler.Files;

/// <summary>The kernel's calls for names as bytes. Faults come out as the exceptions that the runtime uses for them.</summary>
internal static partial class LinuxFiles
{
    public const int ReadOnly = 0;
    public const int WriteOnly = 1;
    public const int ReadWrite = 2;
    public const int CreateNew = 0x40 | 0x80;
    public const int CreateOrTruncate = 0x40 | 0x200;
    public const int CreateOrAppend = 0x40 | 0x400;

    private const int CloseOnExec = 0x80000;
    private const int NewFileMode = 0x1B6; // rw-rw-rw-, less the umask
    private const int NewFolderMode = 0x1FF;
    private const int Interrupted = 4;
    private const int CurrentFolder = -100;
    private const uint BasicFacts = 0x7FF;
    private const int LongestPath = 4096;

    // 1970-01-01 in ticks from the year 1.
    private const long UnixEpochTicks = 621_355_968_000_000_000;

    // struct statx and struct dirent64 are the same on every 64-bit processor.
    private const int StatxBytes = 256;
    private const int EntryTypeOffset = 18;
    private const int EntryNameOffset = 19;

    /// <summary>True where these calls are known to fit.</summary>
    public static bool IsHere { get; } = OperatingSystem.IsLinux() && Environment.Is64BitProcess;

    public static SafeFileHandle Open(string path, int flags)
    {
        byte[] name = Bytes(path);
        while (true)
        {
            int descriptor = OpenFile(name, flags | CloseOnExec, NewFileMode);
            if (descriptor >= 0)
            {
                return new SafeFileHandle(descriptor, ownsHandle: true);
            }

            int error = Marshal.GetLastPInvokeError();
            if (error != Interrupted)
            {
                throw Fault(error, path);
            }
        }
    }

    public static void Rename(string from, string to) => Check(RenameFile(Bytes(from), Bytes(to)), to);

    public static void Delete(string path) => Check(Unlink(Bytes(path)), path);

    public static void CreateFolder(string path) => Check(MakeFolder(Bytes(path), NewFolderMode), path);

    public static void DeleteFolder(string path) => Check(RemoveFolder(Bytes(path)), path);

    /// <summary>What is at a name; null if there is nothing that can be reached.</summary>
    public static FileState? Look(string path)
    {
        Span<byte> facts = stackalloc byte[StatxBytes];
        if (Statx(CurrentFolder, Bytes(path), 0, BasicFacts, ref MemoryMarshal.GetReference(facts)) != 0)
        {
            return null;
        }

        int type = BitConverter.ToUInt16(facts[28..]) & 0xF000;
        long seconds = BitConverter.ToInt64(facts[112..]);
        uint nanoseconds = BitConverter.ToUInt32(facts[120..]);
        ulong node = BitConverter.ToUInt64(facts[32..]);
        ulong device = BitConverter.ToUInt64(facts[136..]);
        return new FileState(
            type switch { 0x8000 => FileKind.Regular, 0x4000 => FileKind.Folder, 0x2000 => FileKind.Device, _ => FileKind.Other },
            BitConverter.ToInt64(facts[40..]),
            TimeSpan.TicksPerSecond * seconds + UnixEpochTicks + nanoseconds / 100,
            $"{device:x}-{node:x}");
    }

    /// <summary>Where a link points, as it is written in it; null for what is no link.</summary>
    public static string? LinkTarget(string path)
    {
        var buffer = new byte[LongestPath];
        nint length = ReadLink(Bytes(path), ref buffer[0], (nuint)buffer.Length);
        return length < 0 ? null : FileName.Decode(buffer.AsSpan(0, (int)length));
    }

    /// <summary>The current folder.</summary>
    public static unsafe string WorkingFolder()
    {
        var buffer = new byte[LongestPath];
        return GetWorkingFolder(ref buffer[0], (nuint)buffer.Length) == 0
            ? throw Fault(Marshal.GetLastPInvokeError(), ".")
            : FileName.Decode(buffer.AsSpan(0, Array.IndexOf(buffer, (byte)0)));
    }

    /// <summary>Names in a folder, in the order in which the file system gives them.</summary>
    public static unsafe List<FolderEntry> List(string folder)
    {
        nint stream = OpenFolder(Bytes(folder));
        if (stream == 0)
        {
            throw Fault(Marshal.GetLastPInvokeError(), folder);
        }

        try
        {
            List<FolderEntry> entries = [];
            while (ReadFolder(stream) is var entry and not 0)
            {
                string name = FileName.Decode(MemoryMarshal.CreateReadOnlySpanFromNullTerminated((byte*)entry + EntryNameOffset));
                if (name is not ("." or ".."))
                {
                    byte type = ((byte*)entry)[EntryTypeOffset];
                    string path = Path.Combine(folder, name);
                    entries.Add(new FolderEntry(
                        name,
                        type == 4 || (type is 0 or 10 && Look(path) is { Kind: FileKind.Folder }),
                        type == 10 || (type == 0 && LinkTarget(path) is not null)));
                }
            }

            return entries;
        }
        finally
        {
            _ = CloseFolder(stream);
        }
    }

    private static byte[] Bytes(string path) => path.Contains('\0', StringComparison.Ordinal)
        ? throw new ArgumentException("a name cannot hold the character of number 0")
        : [.. FileName.Encode(path), 0];

    private static void Check(int result, string path)
    {
        if (result != 0)
        {
            throw Fault(Marshal.GetLastPInvokeError(), path);
        }
    }

    private static Exception Fault(int error, string path)
    {
        string text = Marshal.GetPInvokeErrorMessage(error);
        return error switch
        {
            2 => new FileNotFoundException(text, path),
            20 => new DirectoryNotFoundException(text),
            1 or 13 or 21 => new UnauthorizedAccessException(text),
            _ => new IOException(text, error),
        };
    }

    [LibraryImport("libc", EntryPoint = "open", SetLastError = true)]
    private static partial int OpenFile(byte[] path, int flags, int mode);

    [LibraryImport("libc", EntryPoint = "rename", SetLastError = true)]
    private static partial int RenameFile(byte[] from, byte[] to);

    [LibraryImport("libc", EntryPoint = "unlink", SetLastError = true)]
    private static partial int Unlink(byte[] path);

    [LibraryImport("libc", EntryPoint = "mkdir", SetLastError = true)]
    private static partial int MakeFolder(byte[] path, int mode);

    [LibraryImport("libc", EntryPoint = "rmdir", SetLastError = true)]
    private static partial int RemoveFolder(byte[] path);

    [LibraryImport("libc", EntryPoint = "statx", SetLastError = true)]
    private static partial int Statx(int folder, byte[] path, int flags, uint mask, ref byte facts);

    [LibraryImport("libc", EntryPoint = "readlink", SetLastError = true)]
    private static partial nint ReadLink(byte[] path, ref byte buffer, nuint size);

    [LibraryImport("libc", EntryPoint = "getcwd", SetLastError = true)]
    private static partial nint GetWorkingFolder(ref byte buffer, nuint size);

    [LibraryImport("libc", EntryPoint = "opendir", SetLastError = true)]
    private static partial nint OpenFolder(byte[] path);

    [LibraryImport("libc", EntryPoint = "readdir", SetLastError = true)]
    private static partial nint ReadFolder(nint stream);

    [LibraryImport("libc", EntryPoint = "closedir", SetLastError = true)]
    private static partial int CloseFolder(nint stream);
}
