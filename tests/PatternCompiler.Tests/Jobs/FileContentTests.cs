using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

public sealed class FileContentTests
{
    /// <summary>A name may end in anything but what means something else; two contents may share an ending.</summary>
    [Theory]
    [InlineData("svg", "a.svg", null)]
    [InlineData("svg", "a.SVG", null)]
    [InlineData("svg", "a.txt", null)]
    [InlineData("svg", "a", null)]
    [InlineData("svg", "b/a.png", "'b/a.png' ends in .png, which means a PNG picture, but it would hold SVG")]
    [InlineData("png", "a.Svg", "'a.Svg' ends in .Svg, which means SVG, but it would hold a PNG picture")]
    [InlineData("gdsii", "a.gds", null)]
    [InlineData("gdsii", "a.gdsii", null)]
    [InlineData("html", "a.htm", null)]
    [InlineData("html", "a.yml", "'a.yml' ends in .yml, which means YAML, but it would hold a page")]
    [InlineData("strokes", "a.figures", "'a.figures' ends in .figures, which means figures, but it would hold strokes")]
    public void Endings_that_mean_something_else_are_faults(string word, string name, string? fault) => Assert.Equal(fault, FileContent.Of(word).FaultOf(name));

    [Fact]
    public void Texts_and_tables_have_no_ending_of_their_own()
    {
        Assert.Null(FileContent.Text.FaultOf("a.txt"));
        Assert.Equal("'a.json' ends in .json, which means JSON, but it would hold a text", FileContent.Text.FaultOf("a.json"));

        // The ending of a table is that of a table of voltages, too.
        Assert.NotEqual(FileContent.Table, FileContent.OfName("a.csv"));
        Assert.Null(FileContent.Table.FaultOf("a.csv"));
        Assert.Null(FileContent.Table.FaultOf("a.CSV"));
        Assert.Equal("'a.html' ends in .html, which means a page, but it would hold a table of measurements", FileContent.Table.FaultOf("a.html"));
    }

    [Fact]
    public void Every_ending_means_its_content()
    {
        Assert.All(FileContent.All, content => Assert.All(content.Endings, ending => Assert.Equal(content, FileContent.OfName("a b" + ending.ToUpperInvariant()))));
        Assert.Null(FileContent.OfName("a.txt"));
        Assert.Equal(FileContent.All.Length, FileContent.All.Select(content => content.Word).Distinct().Count());
    }
}
