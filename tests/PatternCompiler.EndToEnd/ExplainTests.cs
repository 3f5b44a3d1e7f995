namespace PatternCompiler.EndToEnd;

public sealed class ExplainTests
{
    [Theory]
    [InlineData("PC0002")]
    [InlineData("pc0002")]
    [InlineData("0002")]
    public void A_number_is_explained_in_any_case(string number)
    {
        using var folder = new WorkFolder();
        Outcome outcome = folder.Run("explain", number).Expect(0);
        Assert.Equal(
            """
            PC0002: no such file

            A file that the command line or a job file names does not exist. Names in a job file are relative to
            the folder of that job file; names on the command line are relative to the current folder.

            It is an error and ends the program with code 4.

            """,
            outcome.Output);
    }

    [Fact]
    public void All_numbers_are_listed()
    {
        using var folder = new WorkFolder();
        string[] lines = folder.Run("explain").Expect(0).Output.TrimEnd('\n').Split('\n');
        Assert.Contains("PC0001  error    wrong command line", lines);
        Assert.Equal(lines.Order(StringComparer.Ordinal), lines);
    }

    [Fact]
    public void An_unknown_number_is_a_usage_error()
    {
        using var folder = new WorkFolder();
        Outcome outcome = folder.Run("explain", "PC0O02").Expect(2);
        Assert.Equal(
            "patternc explain: error PC0001: no message has the number 'PC0O02'; did you mean PC0002? 'patternc explain' lists all\n", outcome.Errors);
    }
}
