using PatternCompiler.Jobs.Batch;

namespace PatternCompiler.Tests.Jobs.Batch;

public sealed class FilePatternTests : IDisposable
{
    private readonly BatchFolder folder = new();

    public FilePatternTests()
    {
        foreach (string name in (string[])["b1/job.yaml", "b1/deep/er/job.yaml", "b2/job.yaml", "b2/other.yaml", "b2/.hidden/job.yaml", "b2/.job.yaml"])
        {
            folder.Write(name, "");
        }
    }

    public void Dispose() => folder.Dispose();

    [Theory]
    [InlineData("b2/job.yaml", "b2/job.yaml")]
    [InlineData("b?/job.yaml", "b1/job.yaml b2/job.yaml")]
    [InlineData("b2/*.yaml", "b2/job.yaml b2/other.yaml")]
    [InlineData("**/job.yaml", "b1/deep/er/job.yaml b1/job.yaml b2/job.yaml")]
    [InlineData("b1/**/*.yaml", "b1/deep/er/job.yaml b1/job.yaml")]
    public void Matches_in_order_of_names(string pattern, string expected) => Assert.Equal(
        expected, string.Join(' ', FilePattern.Expand(pattern, folder.Root).Select(path => Path.GetRelativePath(folder.Root, path))));

    /// <summary>Wildcards may stand in the first folder below the root of the file system, or in the current folder.</summary>
    [Fact]
    public void Patterns_may_begin_anywhere()
    {
        string file = folder.PathOf("b2/job.yaml");
        Assert.Equal([file], FilePattern.Expand($"/?{file[2..]}", ""));
        Assert.Equal([file], FilePattern.Expand($"/?{file[2..]}", folder.Root));
    }
}
