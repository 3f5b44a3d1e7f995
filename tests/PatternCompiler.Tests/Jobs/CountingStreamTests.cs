using System.Security.Cryptography;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

public sealed class CountingStreamTests
{
    [Fact]
    public void Only_its_own_bytes_count_behind_what_the_target_holds_already()
    {
        using var target = new MemoryStream();
        target.Write([1, 2, 3]);
        using var stream = new CountingStream(target, hashes: true);
        stream.Write([4, 5, 6, 7]);
        Assert.Equal(4, stream.Count);

        // The head is written again; the hash is that of what stands there in the end.
        long end = stream.Position;
        stream.Position = 3;
        stream.Write([9]);
        stream.Position = end;
        Assert.Equal(Convert.ToHexStringLower(SHA256.HashData([9, 5, 6, 7])), stream.Hash());
        Assert.Equal((4, 7), (stream.Count, target.Position));
    }

    /// <summary>A target that cannot be read again has a hash as long as nothing in it was written again; without a wish for one there is none.</summary>
    [Fact]
    public void What_cannot_be_read_again_has_no_hash_once_it_was_rewritten()
    {
        var target = new OneWay();
        using var stream = new CountingStream(target, hashes: true);
        Assert.Equal((false, true, true), (stream.CanRead, stream.CanSeek, stream.CanWrite));
        stream.Write([0, 1, 2, 3], 1, 2);
        Assert.Equal((2, 2), (stream.Count, stream.Position));
        Assert.Equal(Convert.ToHexStringLower(SHA256.HashData([1, 2])), stream.Hash());
        Assert.Equal(0, stream.Seek(0, SeekOrigin.Begin));
        stream.Write([7]);
        Assert.Null(stream.Hash());
        Assert.Equal((2, 1), (stream.Count, stream.Position));
        Assert.Equal([7, 2], target.ToArray());
        stream.Flush();
        Assert.Equal(1, target.Flushes);
        using var without = new CountingStream(new MemoryStream());
        without.Write([1]);
        Assert.Null(without.Hash());
    }

    /// <summary>Where the target goes forward only, what was written says where it stands.</summary>
    [Fact]
    public void A_target_that_goes_forward_only_counts_what_it_was_given()
    {
        var target = new OneWay { Seeks = false };
        using var stream = new CountingStream(target, hashes: true);
        stream.Write([1, 2, 3]);
        stream.Write([4]);
        Assert.Equal((false, 4, 4), (stream.CanSeek, stream.Count, stream.Position));
        Assert.Equal(Convert.ToHexStringLower(SHA256.HashData([1, 2, 3, 4])), stream.Hash());
        Assert.Throws<NotSupportedException>(() => stream.Length);
        Assert.Throws<NotSupportedException>(() => stream.SetLength(1));
        Assert.Throws<NotSupportedException>(() => stream.Read([1], 0, 1));
    }

    private sealed class OneWay : MemoryStream
    {
        public bool Seeks { get; init; } = true;

        public int Flushes { get; private set; }

        public override bool CanRead => false;

        public override bool CanSeek => Seeks;

        public override long Position { get => Seeks ? base.Position : throw new NotSupportedException(); set => base.Position = value; }

        public override void Flush() => Flushes++;
    }
}
