using PatternCompiler.Jobs;
using PatternCompiler.Passes.Fill;

namespace PatternCompiler.Tests.Passes.Fill;

/// <summary>The table of strategies is the only place that knows them.</summary>
public sealed class FillStrategyTests
{
    [Fact]
    public void Every_word_is_explained_to_those_who_write_jobs() =>
        Assert.All(FillStrategy.All, strategy => Assert.Matches($@"(# |strategy: .*|[;,] ){strategy.Word}\b", DefaultFiles.JobText));

    [Fact]
    public void Words_are_different_as_settings_and_as_options() =>
        Assert.Equal(FillStrategy.All.Length, FillStrategy.All.Select(strategy => strategy.Word.Replace(' ', '-')).Distinct().Count());

    /// <summary>No code outside of the strategies' own files asks which one it has.</summary>
    [Fact]
    public void Nobody_else_spells_a_strategy()
    {
        string[] spelled =
        [
            .. Architecture.SourceTree.Files("src")
                .Where(file => Path.GetFileName(file.Path) != "FillStrategy.cs")
                .Where(file => file.Lines.Any(line => FillStrategy.All.Any(strategy =>
                    strategy.Word.AsSpan().ContainsAny(' ', '-') && (line.Contains($"\"{strategy.Word}\"", StringComparison.Ordinal) || line.Contains($"\"{strategy.Word.Replace(' ', '-')}\"", StringComparison.Ordinal)))))
                .Select(file => file.Path),
        ];
        Assert.Empty(spelled);
    }
}
