using System.CommandLine;
using PatternCompiler.Cli;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Manual;

namespace PatternCompiler.EndToEnd;

/// <summary>The manual: complete for every command, and what <c>man</c> accepts.</summary>
public sealed class ManualTests
{
    private static readonly RootCommand Root = CommandTree.Create(new GlobalOptions());

    [Fact]
    public void Every_page_has_the_sections_of_a_manual_page_in_their_order()
    {
        // The headings and their order are those of man-pages(7) of the Linux man-pages project.
        string[] order = ["NAME", "SYNOPSIS", "DESCRIPTION", "COMMANDS", "ARGUMENTS", "OPTIONS", "EXAMPLES", "EXIT STATUS", "FILES", "ENVIRONMENT", "SEE ALSO"];
        foreach (Command command in Descend(Root))
        {
            string[] headings = [.. ManualWriter.Write(command).Sections.Select(section => section.Heading)];
            Assert.Equal(order.Where(headings.Contains), headings);
            Assert.Empty(((string[])["NAME", "SYNOPSIS", "DESCRIPTION", "OPTIONS", "EXIT STATUS", "SEE ALSO"]).Except(headings));
            Assert.True(command is RootCommand || headings.Contains("EXAMPLES"), command.Name);
        }
    }

    [Fact]
    public void What_a_page_points_to_exists_and_every_command_is_pointed_to()
    {
        foreach (Command command in Root.Subcommands)
        {
            IReadOnlyList<string> related = RelatedCommands.Of(command.Name);
            Assert.NotEmpty(related);
            Assert.Empty(related.Except(Root.Subcommands.Select(sub => sub.Name)));
            Assert.Contains(Root.Subcommands, other => RelatedCommands.Of(other.Name).Contains(command.Name));
        }
    }

    [Fact]
    public void A_page_reads_like_this()
    {
        using var folder = new WorkFolder();
        Assert.Equal(
            """
            NAME
                patternc-fit-blanker - fit the delays of the beam blanker, its edges and its leak

            SYNOPSIS
                patternc fit blanker [OPTION...] [INPUT]

            """,
            folder.Run("help", "fit", "blanker").Expect(0).Output.Split("\nDESCRIPTION")[0]);
        string page = folder.Run("help", "compare").Expect(0).Output;
        Assert.Contains("\n    -o, --output FILE\n          Write the report to FILE. Standard output if absent or -.\n", page, StringComparison.Ordinal);
        Assert.Contains("\n    1\n          they differ\n", page, StringComparison.Ordinal);
        Assert.All(page.Split('\n'), line => Assert.InRange(line.Length, 0, 100));
        Assert.StartsWith("NAME\n    patternc - compiles drawings into exposure streams", folder.Run("help").Expect(0).Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("help fractur", "patternc: error PC0001: unknown command 'fractur'; did you mean 'fracture'? see 'patternc --help'\n")]
    [InlineData("help fit blankr", "patternc fit: error PC0001: unknown command 'blankr'; did you mean 'blanker'? see 'patternc fit --help'\n")]
    public void A_mistyped_command_is_told_the_nearest(string line, string message)
    {
        using var folder = new WorkFolder();
        Assert.Equal(message, folder.Run(line.Split(' ')).Expect(2).Errors);
    }

    [FactWith("mandoc")]
    public void Mandoc_finds_no_fault_in_any_page()
    {
        using WorkFolder folder = WithPages(out int count);

        // The pages bear no date, so that the same program writes the same bytes; that is the only remark there may be.
        string[] remarks = Executable.Shell(folder.Path, "mandoc -T lint man/*.1").Output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.All(remarks, remark => Assert.EndsWith("WARNING: missing date, using \"\": TH", remark, StringComparison.Ordinal));
        Assert.Equal(count, remarks.Length);
    }

    [FactWith("groff")]
    public void Groff_warns_of_nothing()
    {
        using WorkFolder folder = WithPages(out _);
        Outcome outcome = Executable.Shell(folder.Path, "for page in man/*.1; do groff -man -ww -z -Tutf8 \"$page\"; done").Expect(0);
        Assert.Empty(outcome.Errors);
        string shown = Executable.Shell(folder.Path, "groff -man -Tascii -P-cbou man/patternc-compare.1").Expect(0).Output;
        Assert.Contains("--dose-tolerance NUMBER", shown, StringComparison.Ordinal);
        Assert.Contains("\"1 nm\"", shown, StringComparison.Ordinal);
    }

    [Fact]
    public void One_page_goes_to_standard_output()
    {
        using WorkFolder folder = WithPages(out _);
        Assert.Equal(folder.Read("man/patternc-build.1"), folder.Run("help", "--man", "build").Expect(0).OutputBytes);
        Assert.All(folder.Read("man/patternc-explain.1"), octet => Assert.InRange(octet, 1, 127));
    }

    private static WorkFolder WithPages(out int count)
    {
        var folder = new WorkFolder();
        count = Descend(Root).Count();
        Assert.Equal($"{count} pages in man\n", folder.Run("help", "--man-pages", "man").Expect(0).Errors);
        Assert.Equal(count, Directory.GetFiles(folder["man"], "patternc*.1").Length);
        return folder;
    }

    private static IEnumerable<Command> Descend(Command command) => command.Subcommands.SelectMany(Descend).Prepend(command);
}
