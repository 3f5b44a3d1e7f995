using System.Security.Cryptography;
using PatternCompiler.Jobs.Batch;

namespace PatternCompiler.Tests.Jobs.Batch;

public sealed class FileStampsTests : IDisposable
{
    // No file system counts from the year 1.
    private static readonly long Start = new DateTime(2020, 1, 1, 0, 0, 0, DateTimeKind.Utc).Ticks;

    private readonly string folder = Directory.CreateTempSubdirectory("stamps ").FullName;

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [Fact]
    public void A_stamp_is_size_time_and_hash_of_a_file_and_of_nothing_else()
    {
        string path = Written("a", [1, 2, 3], 5000);
        FileStamp stamp = new FileStamps().Take(path)!;
        Assert.Equal(new FileStamp(path, 3, Start + 5000, Convert.ToHexStringLower(SHA256.HashData([1, 2, 3]))), stamp);
        Assert.Null(new FileStamps().Take(folder));
        Assert.Null(new FileStamps().Take(Path.Combine(folder, "none")));
        Assert.Null(FileStamps.Look(folder));
        Assert.Equal((3, Start + 5000), FileStamps.Look(path));
    }

    /// <summary>
    /// The same size and time count as the same content only before the moment up to which times are trusted; a touched file is read,
    /// one of another size is another.
    /// </summary>
    [Fact]
    public void A_file_is_unchanged_if_its_bytes_are()
    {
        string path = Written("a", [1, 2, 3], 5000);
        FileStamp stamp = new FileStamps().Take(path)!;
        Written("a", [1, 2, 4], 5000);
        Assert.True(new FileStamps().IsUnchanged(stamp, Start + 5001));
        Assert.False(new FileStamps().IsUnchanged(stamp, Start + 5000));
        Written("a", [1, 2, 3], 6000);
        Assert.True(new FileStamps().IsUnchanged(stamp, Start + 10_000));
        Written("a", [1, 2, 4], 6000);
        Assert.False(new FileStamps().IsUnchanged(stamp, Start + 10_000));
        Written("a", [1, 2, 3, 4], 5000);
        Assert.False(new FileStamps().IsUnchanged(stamp, Start + 10_000));
        File.Delete(path);
        Assert.False(new FileStamps().IsUnchanged(stamp, Start + 10_000));
    }

    /// <summary>Outputs that are as old as the newest input, or older, move one tick behind it; newer ones and missing ones stay.</summary>
    [Theory]
    [InlineData(4000, 7001)]
    [InlineData(7000, 7001)]
    [InlineData(7001, 7001)]
    [InlineData(9000, 9000)]
    public void Outputs_move_up_behind_their_inputs(long before, long after)
    {
        FileStamp[] inputs = [Stamp(Written("in 1", [1], 7000)), Stamp(Written("in 2", [1], 3000)), Stamp(Path.Combine(folder, "gone"))];
        string output = Written("out", [1], before);
        FileStamps.MoveUp([Stamp(output), Stamp(Path.Combine(folder, "never"))], [.. inputs]);
        Assert.Equal((1, Start + after), FileStamps.Look(output));
        Assert.Equal((1, Start + 7000), FileStamps.Look(Path.Combine(folder, "in 1")));
        FileStamps.MoveUp([Stamp(output)], []);
        Assert.Equal((1, Start + after), FileStamps.Look(output));
    }

    private static FileStamp Stamp(string path) => new(path, 1, 0, "");

    private string Written(string name, byte[] bytes, long ticks)
    {
        string path = Path.Combine(folder, name);
        File.WriteAllBytes(path, bytes);
        File.SetLastWriteTimeUtc(path, new DateTime(Start + ticks, DateTimeKind.Utc));
        return path;
    }
}
