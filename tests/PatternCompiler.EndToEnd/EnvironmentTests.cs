using System.Diagnostics;
using System.Text;

namespace PatternCompiler.EndToEnd;

/// <summary>Whatever the place is where it runs: a clear message, the right exit code, and nothing left.</summary>
public sealed class EnvironmentTests
{
    private static readonly string[] OnlyInput = ["a.layout"];

    // The native executable has its libraries beside it; the runtime of the other has limits of its own.
    private static bool IsNative => !File.Exists(Path.ChangeExtension(Executable.Path, ".dll")) && !File.Exists(Executable.Path + ".dll");

    [Theory]
    [InlineData("0<&-", "parse", 4, "error PC0003: cannot read: standard input is closed; name a file, or pipe a document in\n")]
    [InlineData("1>&-", "parse a.layout", 4, "standard output: error PC0004: cannot write: it is closed\n")]
    [InlineData("1>&-", "--help", 4, "standard output: error PC0004: cannot write: it is closed\n")]
    [InlineData("2>&-", "parse missing", 4, "")]
    [InlineData("0<&- 1>&- 2>&-", "parse", 4, "")]
    [InlineData("0<&- 1>&- 2>&-", "parse a.layout", 4, "")]
    [InlineData("0<&- 1>&- 2>&-", "parse a.layout -o b.layout", 0, "")]
    [InlineData("0<&-", "parse @- x", 4, "error PC0003: cannot read: standard input is closed; name a file, or pipe a document in\n")]
    public void A_closed_descriptor_is_neither_read_nor_written(string closing, string line, int code, string errors)
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        byte[] canonical = folder.Run("parse", "a.layout").OutputBytes;
        Outcome outcome = Executable.Shell(folder.Path, $"(exec {closing}; exec '{Executable.Path}' {line})").Expect(code);
        Assert.Equal(errors, outcome.Errors);
        Assert.Empty(outcome.Output);
        Assert.Equal(Patterns.Layout, File.ReadAllText(folder["a.layout"]));
        Assert.Equal(code == 0 ? ["a.layout", "b.layout"] : OnlyInput, folder.Entries);
        if (code == 0)
        {
            Assert.Equal(canonical, folder.Read("b.layout"));
        }
    }

    [Fact]
    public void Messages_never_run_into_an_output_that_took_the_number_of_standard_error()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        byte[] expected = folder.Run("build", "a.layout", "-q", "-o", "-").OutputBytes;
        Executable.Shell(folder.Path, $"(exec 2>&-; exec '{Executable.Path}' build a.layout -o b.stream)").Expect(0);
        Assert.Equal(expected, folder.Read("b.stream"));
    }

    [Fact]
    public void A_file_that_grows_beyond_its_limit_is_removed()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Many(20_000));

        // The managed runtime keeps its code in a file, too, unless told otherwise.
        Outcome outcome = Executable.Shell(folder.Path, $"export DOTNET_EnableWriteXorExecute=0; ulimit -f 100; '{Executable.Path}' parse a.layout -o b.layout").Expect(4);
        Assert.Equal("b.layout: error PC0004: cannot write: the file would be larger than this process may write; raise the limit with: ulimit -f unlimited\n", outcome.Errors);
        Assert.Equal(OnlyInput, folder.Entries);
        outcome = Executable.Shell(folder.Path, $"export DOTNET_EnableWriteXorExecute=0; ulimit -f 100; '{Executable.Path}' parse a.layout > b.layout").Expect(4);
        Assert.Equal("standard output: error PC0004: cannot write: the file would be larger than this process may write; raise the limit with: ulimit -f unlimited\n", outcome.Errors);
    }

    [Fact]
    public void A_signal_at_any_moment_of_the_start_leaves_nothing()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Many(20_000));
        var codes = new HashSet<int>();
        for (int i = 0; i < 24; i++)
        {
            using Process process = Executable.Start(folder.Path, ["parse", "a.layout", "-o", "b.layout"]);
            Thread.Sleep(i < 8 ? 0 : i * (IsNative ? 1 : 12));
            Executable.Signal(process, "TERM");
            Assert.True(process.WaitForExit(TimeSpan.FromSeconds(20)), "the program did not stop");
            codes.Add(process.ExitCode);
            Assert.DoesNotContain(folder.Entries, entry => entry.EndsWith(".partial", StringComparison.Ordinal));
        }

        // Before the program listens the signal itself ends it (143 for a shell), with nothing begun.
        Assert.Subset(new HashSet<int> { 0, 130, 143 }, codes);
    }

    [Fact]
    public void A_missing_library_is_named_with_its_place()
    {
        if (!IsNative || !OperatingSystem.IsLinux())
        {
            return;
        }

        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        File.Copy(Executable.Path, folder["patternc"]);
        Outcome outcome = Executable.Shell(folder.Path, "./patternc preview a.layout -o a.png").Expect(4);
        Assert.Equal(
            $"error PC0061: the library libSkiaSharp.so is missing or cannot be loaded; it must lie beside the program, in {folder.Path}; copy libSkiaSharp.so and libSystem.IO.Ports.Native.so there from where patternc was installed\n",
            outcome.Errors);
        outcome = Executable.Shell(folder.Path, "./patternc build a.layout -q -o a.stream; ./patternc send a.stream --link /dev/ttyNONE9 --baud 9600").Expect(4);
        Assert.Contains("error PC0061: the library libSystem.IO.Ports.Native.so is missing", outcome.Errors, StringComparison.Ordinal);
        Assert.DoesNotContain("a.png", folder.Entries);
    }

    // In kibibytes. Below some 220 MiB the runtime itself may not start.
    [Theory]
    [InlineData(260_000)]
    [InlineData(400_000)]
    [InlineData(700_000)]
    public void Too_little_memory_is_told_before_any_work_with_the_remedy(int limit)
    {
        if (!IsNative)
        {
            return;
        }

        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        Outcome outcome = Executable.Shell(folder.Path, $"ulimit -v {limit}; '{Executable.Path}' fracture a.layout -o b").Expect(4);
        Assert.Equal(
            $"error PC0062: the limit of memory, {limit / 1024} MiB, leaves too little for this program, which needs 768 MiB to run at all; raise it with: ulimit -v unlimited\n",
            outcome.Errors);
        Assert.Equal(OnlyInput, folder.Entries);
    }

    [Theory]
    [InlineData(4)]
    [InlineData(5)]
    [InlineData(6)]
    public void Too_few_open_files_are_told_with_the_remedy(int limit)
    {
        if (!IsNative)
        {
            return;
        }

        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        Outcome outcome = Executable.Shell(folder.Path, $"ulimit -n {limit}; '{Executable.Path}' fracture a.layout -o b").Expect(4);
        Assert.Contains("too many open files", outcome.Errors, StringComparison.Ordinal);
        Assert.EndsWith("with: ulimit -n 256\n", outcome.Errors, StringComparison.Ordinal);
        Assert.Equal(OnlyInput, folder.Entries);
    }

    [Theory]
    [InlineData("parse")]
    [InlineData("fill")]
    [InlineData("scale")]
    [InlineData("emit")]
    [InlineData("decode")]
    [InlineData("decode --format words")]
    [InlineData("decode --format gcode")]
    [InlineData("estimate")]
    [InlineData("plan --feature 1um")]
    [InlineData("preview -o b.png")]
    [InlineData("build")]
    [InlineData("fit spread")]
    [InlineData("fit field")]
    [InlineData("send --link - --dry-run")]
    [InlineData("compare a.layout")]
    public void A_device_is_no_document(string line)
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        foreach (string device in (string[])["/dev/zero", "/dev/urandom"])
        {
            Outcome outcome = folder.Run([.. line.Split(' '), device, "-q"]).Expect(4);
            Assert.Equal($"{device}: error PC0003: cannot read: it is a device, which need not end; name a file, or pipe a document in\n", outcome.Errors);
        }

        Assert.Equal(OnlyInput, folder.Entries);
    }

    [Theory]
    [InlineData("fracture a.layout --job /dev/zero", "/dev/zero: error PC0110: ")]
    [InlineData("fill a.figures --machine /dev/urandom", "/dev/urandom: error PC0110: ")]
    [InlineData("batch /dev/zero", "/dev/zero: error PC0110: ")]
    [InlineData("parse @/dev/zero", "/dev/zero: error PC0003: cannot read: it is a device, which need not end; ")]
    public void A_device_is_no_settings_file_either(string line, string start)
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout).With("a.figures", "figures 1\n");
        Outcome outcome = folder.Run(line.Split(' '));
        Assert.True(outcome.ExitCode is 1 or 2 or 4);
        Assert.Contains(start, outcome.Errors, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("parse")]
    [InlineData("fracture")]
    [InlineData("fill")]
    [InlineData("scale")]
    [InlineData("emit")]
    [InlineData("decode")]
    [InlineData("estimate")]
    [InlineData("plan - --feature 1um")]
    [InlineData("preview -o b.png")]
    [InlineData("build")]
    [InlineData("batch -")]
    [InlineData("fit spread")]
    [InlineData("fit contrast")]
    [InlineData("send --link x --dry-run")]
    public void An_endless_pipe_ends_in_an_error(string line)
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        foreach (string source in (string[])["yes", "cat /dev/zero", "tr '\\n' ' ' < <(yes)"])
        {
            var watch = Stopwatch.StartNew();
            Outcome outcome = Executable.Shell(folder.Path, $"{source} | patternc {line} -q; exit ${{PIPESTATUS[1]}}");
            Assert.True(outcome.ExitCode is 1 or 2 or 4, $"{source}: {outcome.ExitCode} {outcome.Errors}");
            Assert.True(watch.Elapsed < TimeSpan.FromSeconds(15), $"{source}: {watch.Elapsed}");
            Assert.Contains("error PC", outcome.Errors, StringComparison.Ordinal);
        }

        Assert.Equal(OnlyInput, folder.Entries);
    }

    private static string Many(int rectangles)
    {
        var text = new StringBuilder("layout 1\nunit um\nlayer a\n");
        for (int i = 0; i < rectangles; i++)
        {
            text.Append("rect on a from (").Append(i % 300).Append(", ").Append(i / 300).Append(") to (").Append(i % 300).Append(".5, ").Append(i / 300).Append(".5)\n");
        }

        return text.ToString();
    }
}
