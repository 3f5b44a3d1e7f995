using System.Diagnostics;
using System.Text;

namespace PatternCompiler.EndToEnd;

/// <summary>Outputs appear complete or not at all, whatever happens.</summary>
public sealed class FileTests
{
    private static readonly string[] OnlyInput = ["a.layout"];

    [Fact]
    public void A_link_keeps_pointing_where_it_points()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout).With("real", "old");
        File.CreateSymbolicLink(folder["link"], "real");
        folder.Run("fracture", "a.layout", "-o", "link").Expect(0);
        Assert.NotNull(new FileInfo(folder["link"]).LinkTarget);
        Assert.StartsWith("figures 1\n", File.ReadAllText(folder["real"]), StringComparison.Ordinal);
    }

    [Fact]
    public void A_failed_run_leaves_the_old_output_and_nothing_else()
    {
        using WorkFolder folder = new WorkFolder().With("a.strokes", "strokes 1\nlayer \"a\"\njump 0 0 0\nnonsense\n").With("out", "old");
        folder.Run("scale", "a.strokes", "-o", "out").Expect(1);
        Assert.Equal("old", File.ReadAllText(folder["out"]));
        Assert.Equal(2, folder.Entries.Length);
    }

    [Fact]
    public void What_a_dead_run_left_is_removed_and_what_another_computer_writes_is_left()
    {
        string here = Environment.MachineName.Replace('.', '-');
        string dead = $".b.figures.{here}-{int.MaxValue}.partial", alive = $".b.figures.{here}-{Environment.ProcessId}.partial";
        string elsewhere = $".b.figures.{here}x-{int.MaxValue}.partial";
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout).With(dead, "half").With(alive, "half").With(elsewhere, "half");
        folder.Run("fracture", "a.layout", "-o", "a.figures").Expect(0);
        Assert.Equal(new[] { alive, elsewhere, "a.figures", "a.layout" }.Order(StringComparer.Ordinal), folder.Entries);
    }

    [Fact]
    public void A_missing_folder_is_named_with_the_remedy()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        Outcome outcome = folder.Run("fracture", "a.layout", "-o", "new/a.figures").Expect(4);
        Assert.Equal("new/a.figures: error PC0004: cannot write: the folder does not exist; create it with: mkdir -p new\n", outcome.Errors);
    }

    [Theory]
    [InlineData("fracture a.layout -o /dev/full", "/dev/full")]
    [InlineData("fracture a.layout > /dev/full", "standard output")]
    [InlineData("explain > /dev/full", "standard output")]
    [InlineData("--help > /dev/full", "standard output")]
    public void A_full_disk_is_told_in_one_line(string arguments, string place)
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        Outcome outcome = Executable.Shell(folder.Path, "patternc " + arguments).Expect(4);
        Assert.Equal(
            $"{place}: error PC0005: cannot write: no space left on the device; free some space, or write elsewhere with -o FILE\n", outcome.Errors);
        Assert.Equal(OnlyInput, folder.Entries);
    }

    [Fact]
    public void A_closed_pipe_ends_the_run_without_a_word()
    {
        // 4 MB of figures into a reader that takes one byte.
        var layout = new StringBuilder("layout 1\nunit um\nlayer a\n");
        for (int i = 0; i < 60_000; i++)
        {
            layout.Append("rect on a from (").Append(i % 300).Append(", ").Append(i / 300).Append(") to (").Append(i % 300).Append(".5, ").Append(i / 300).Append(".5)\n");
        }

        using WorkFolder folder = new WorkFolder().With("a.layout", layout.ToString());
        Outcome outcome = Executable.Shell(folder.Path, "patternc fracture a.layout | head -c 1; echo \" ${PIPESTATUS[0]}\"").Expect(0);
        Assert.Equal("f 0\n", outcome.Output);
        Assert.Empty(outcome.Errors);
    }

    [Fact]
    public void Several_commands_may_write_one_stream()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        Executable.Shell(folder.Path, "{ patternc fracture a.layout; patternc fracture a.layout; } > both; patternc fracture a.layout > one; cat one one > two; echo begin > more; patternc fracture a.layout >> more").Expect(0);
        Assert.Equal(folder.Read("two"), folder.Read("both"));
        Assert.Equal([.. "begin\n"u8, .. folder.Read("one")], folder.Read("more"));
    }

    [Fact]
    public void Binary_output_to_a_terminal_is_refused()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        // script(1) gives the program a terminal.
        Outcome outcome = Executable.Shell(
            folder.Path,
            $"script -qec '{Executable.Path} fracture a.layout --binary --color never' /dev/null");
        Assert.Equal(2, outcome.ExitCode);
        Assert.Equal(
            "error PC0006: the output is binary and would disturb the terminal; name a file with -o FILE, or send the output into a pipe\r\n",
            outcome.Output);
    }

    [Theory]
    [InlineData("INT", false)]
    [InlineData("TERM", false)]
    [InlineData("HUP", false)]
    [InlineData("INT", true)]
    [InlineData("TERM", true)]
    public async Task A_signal_leaves_no_file_and_code_130(string signal, bool isBusy)
    {
        using var folder = new WorkFolder();
        using Process process = Executable.Start(folder.Path, ["scale", "-o", "out.records"]);
        Stream input = process.StandardInput.BaseStream;
        input.Write("strokes 1\nlayer \"a\"\n"u8);
        byte[] jumps = Encoding.UTF8.GetBytes(string.Concat(Enumerable.Repeat("jump 0 10 10\njump 0 -10 10\n", 2000)));
        input.Write(jumps);
        input.Flush();
        WaitFor(() => folder.Entries.Length > 0);

        // Busy: there is always more to read. Otherwise the program waits for its input and cannot look at the clock.
        Task feeding = isBusy ? Task.Run(() => Feed(input, jumps)) : Task.CompletedTask;
        Executable.Signal(process, signal);
        Assert.True(process.WaitForExit(TimeSpan.FromSeconds(20)), "the program did not stop");
        await feeding;
        Assert.Equal(130, process.ExitCode);
        Assert.Empty(folder.Entries);
    }

    [Theory]
    [InlineData("INT")]
    [InlineData("TERM")]
    public void A_signal_ends_it_even_if_nobody_reads_its_output(string signal)
    {
        string rectangles = string.Concat(Enumerable.Range(0, 20_000).Select(i => $"rect on a at ({i * 0.01:0.00}, 0) size (0.005, 1)\n"));
        using WorkFolder folder = new WorkFolder().With("a.layout", "layout 1\nunit um\nlayer a\n" + rectangles);
        using Process process = Executable.Start(folder.Path, ["parse", "a.layout"]);

        // The first byte has come, and the pipe does not hold the others.
        Assert.NotEqual(-1, process.StandardOutput.BaseStream.ReadByte());
        Executable.Signal(process, signal);
        Assert.True(process.WaitForExit(TimeSpan.FromSeconds(20)), "the program did not stop");
        Assert.Equal(130, process.ExitCode);
    }

    private static void Feed(Stream input, byte[] bytes)
    {
        try
        {
            while (true)
            {
                input.Write(bytes);
            }
        }
        catch (IOException)
        {
            // The program has stopped reading, which is what the test waits for.
        }
    }

    private static void WaitFor(Func<bool> condition)
    {
        var watch = Stopwatch.StartNew();
        while (!condition())
        {
            Assert.True(watch.Elapsed < TimeSpan.FromSeconds(20), "the program wrote nothing");
            Thread.Sleep(20);
        }
    }
}
