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
}
