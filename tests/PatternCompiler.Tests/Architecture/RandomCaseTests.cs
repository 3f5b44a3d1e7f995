using System.Text.RegularExpressions;

namespace PatternCompiler.Tests.Architecture;

/// <summary>One variable lengthens all tests with random cases: each says how many it usually tries, and in one way.</summary>
public sealed partial class RandomCaseTests
{
    [Theory]
    [InlineData("PatternCompiler.Tests")]
    [InlineData("PatternCompiler.Oracles")]
    [InlineData("PatternCompiler.EndToEnd")]
    public void Every_sample_can_be_made_longer(string project)
    {
        foreach ((string path, string[] lines) in SourceTree.Files($"tests/{project}").Where(file => file.Lines.Contains("using CsCheck;")))
        {
            string code = string.Join('\n', lines);
            Assert.True(Samples().Count(code) == Counts().Count(code), $"{path}: not every Sample has 'iter: Iterations.Usually(...)'");
        }
    }

    [GeneratedRegex(@"\.Sample\w*\(")]
    private static partial Regex Samples();

    [GeneratedRegex(@"\biter: Iterations\.Usually\(")]
    private static partial Regex Counts();
}
