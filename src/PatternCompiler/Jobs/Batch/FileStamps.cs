using System.Collections.Concurrent;
using System.Collections.Immutable;
using System.Security.Cryptography;
using PatternCompiler.Files;

namespace PatternCompiler.Jobs.Batch;

/// <summary>Looks at files; each content is hashed once a run, however many entries read it.</summary>
internal sealed class FileStamps
{
    private readonly ConcurrentDictionary<(string Path, long Bytes, long ModifiedTicks), Lazy<string?>> hashes = new();

    /// <summary>Size and time of a file, without reading it; null if there is none.</summary>
    public static (long Bytes, long ModifiedTicks)? Look(string path)
    {
        return FileSystem.Look(path) is { Kind: not FileKind.Folder } file ? (file.Bytes, file.ModifiedTicks) : null;
    }

    /// <summary>The file as it is now; null if it cannot be read.</summary>
    public FileStamp? Take(string path) =>
        Look(path) is (long bytes, long ticks) && HashOf(path, bytes, ticks) is string hash ? new FileStamp(path, bytes, ticks, hash) : null;

    /// <summary>True if the content is still that of the stamp.</summary>
    /// <param name="stamp">The file then.</param>
    /// <param name="trustedBeforeTicks">
    /// A file with the stamp's size and time is taken as unchanged without reading if it was last written before this
    /// moment: a later change could share the time of an earlier one where clocks are coarse.
    /// </param>
    public bool IsUnchanged(FileStamp stamp, long trustedBeforeTicks)
    {
        if (Look(stamp.Path) is not (long bytes, long ticks) || bytes != stamp.Bytes)
        {
            return false;
        }

        return (ticks == stamp.ModifiedTicks && ticks < trustedBeforeTicks) || HashOf(stamp.Path, bytes, ticks) == stamp.Hash;
    }

    /// <summary>
    /// Gives files a later time than the newest of others. An output whose inputs were touched, but not changed, stays;
    /// make and ninja go by times alone and would ask for it again and again.
    /// </summary>
    public static void MoveUp(ImmutableArray<FileStamp> outputs, ImmutableArray<FileStamp> inputs)
    {
        long newest = inputs.Select(input => Look(input.Path)?.ModifiedTicks ?? 0).DefaultIfEmpty().Max();
        foreach (FileStamp output in outputs.Where(output => Look(output.Path) is (_, long ticks) && ticks <= newest))
        {
            try
            {
                // One tick more: file systems count finer than ticks, and what is cut off here would make it older.
                FileSystem.SetModified(output.Path, newest + 1);
            }
            catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
            {
                // The output is right all the same.
            }
        }
    }

    private string? HashOf(string path, long bytes, long ticks) =>
        hashes.GetOrAdd((path, bytes, ticks), key => new Lazy<string?>(() => Compute(key.Path))).Value;

    private static string? Compute(string path)
    {
        try
        {
            using FileStream stream = FileSystem.OpenRead(path);
            return Convert.ToHexStringLower(SHA256.HashData(stream));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }
}
