using PatternCompiler.Jobs.Batch;

namespace PatternCompiler.Tests.Jobs.Batch;

public sealed class DependencyFileTests
{
    [Theory]
    [InlineData("a b", @"a\ b")]
    [InlineData("a#1: $x", @"a\#1\:\ $$x")]
    [InlineData("out/chip.stream", "out/chip.stream")]
    public void Names_are_escaped(string name, string expected)
    {
        Assert.Null(DependencyFile.FaultOf(name));
        Assert.Equal(expected, DependencyFile.Escape(name));
    }

    /// <summary>What make or ninja would read as something else is told by its character or its place, and nothing else is refused.</summary>
    [Theory]
    [InlineData("a=b", "'='")]
    [InlineData("50%", "'%'")]
    [InlineData("a\tb", "'\t'")]
    [InlineData("a\u007fb", "'\u007f'")]
    [InlineData("a\\b", "'\\'")]
    [InlineData("a&b;c", "'&'")]
    [InlineData("~/a", "'~' at its start")]
    [InlineData("a~", null)]
    [InlineData("a:", "a colon or blank at its end")]
    [InlineData("a ", "a colon or blank at its end")]
    [InlineData(":a", null)]
    [InlineData("a(b)", "')' at its end")]
    [InlineData("(a)b", null)]
    [InlineData(".PHONY", "a point at its start and nothing but letters behind it")]
    [InlineData("._a", "a point at its start and nothing but letters behind it")]
    [InlineData("..", "a point at its start and nothing but letters behind it")]
    [InlineData(".a1", null)]
    [InlineData("../a", null)]
    [InlineData("include", "a word of make's own")]
    [InlineData("-load", "a word of make's own")]
    [InlineData("included", null)]
    public void Names_that_would_be_read_otherwise_are_faults(string name, string? fault) => Assert.Equal(fault, DependencyFile.FaultOf(name));

    [Fact]
    public void All_marks_of_either_program_are_faults() =>
        Assert.All("=%;|<>*?[^`\\\"'&\n\u0001\u001f", mark => Assert.Equal($"'{mark}'", DependencyFile.FaultOf($"a{mark}b")));
}
