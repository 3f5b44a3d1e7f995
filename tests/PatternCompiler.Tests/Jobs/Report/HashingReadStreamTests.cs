using System.Security.Cryptography;
using PatternCompiler.Jobs.Report;

namespace PatternCompiler.Tests.Jobs.Report;

public sealed class HashingReadStreamTests
{
    private static readonly byte[] Bytes = RandomNumberGenerator.GetBytes(200_000);

    /// <summary>However much of a file its reader takes, the hash and the count are those of the whole, and the file is closed then and not before.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(70_000)]
    [InlineData(200_000)]
    public void All_bytes_are_hashed_however_many_are_read(int taken)
    {
        var file = new MemoryStream([.. Bytes]);
        var stream = new HashingReadStream(file);
        byte[] read = new byte[taken + 2];
        stream.ReadExactly(read.AsSpan(1, taken / 2));
        stream.ReadExactly(read, 1 + (taken / 2), taken - (taken / 2));
        Assert.Equal([0, .. Bytes[..taken], 0], read);
        Assert.Equal(taken, stream.Position);
        stream.Dispose();
        Assert.True(file.CanRead);
        Assert.Equal((200_000, Convert.ToHexStringLower(SHA256.HashData(Bytes))), stream.Finish());
        Assert.False(file.CanRead);
    }

    [Fact]
    public void A_file_that_is_let_go_is_closed()
    {
        var file = new MemoryStream([.. Bytes]);
        new HashingReadStream(file).Release();
        Assert.False(file.CanRead);
    }

    /// <summary>It goes forward only, and nobody is told otherwise.</summary>
    [Fact]
    public void It_reads_forward_and_does_nothing_else()
    {
        var stream = new HashingReadStream(new MemoryStream([.. Bytes]));
        Assert.Equal((true, false, false), (stream.CanRead, stream.CanSeek, stream.CanWrite));
        stream.Flush();
        Assert.Throws<NotSupportedException>(() => stream.Length);
        Assert.Throws<NotSupportedException>(() => stream.Position = 0);
        Assert.Throws<NotSupportedException>(() => stream.Seek(0, SeekOrigin.Begin));
        Assert.Throws<NotSupportedException>(() => stream.SetLength(0));
        Assert.Throws<NotSupportedException>(() => stream.Write([1], 0, 1));
    }
}
