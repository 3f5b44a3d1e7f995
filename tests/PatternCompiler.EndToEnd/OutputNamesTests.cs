using System.CommandLine;
using PatternCompiler.Cli;
using PatternCompiler.Cli.Arguments;

namespace PatternCompiler.EndToEnd;

/// <summary>The name of an output says what is in it, and no output takes the place of something that is wanted.</summary>
public sealed class OutputNamesTests
{
    private static readonly string[] OnlyInput = ["a.layout"];

    public static TheoryData<string, string> Options
    {
        get
        {
            var data = new TheoryData<string, string>();
            foreach (Command command in Descend(CommandTree.Create(new GlobalOptions())))
            {
                foreach (OutputFileOption option in command.Options.OfType<OutputFileOption>())
                {
                    data.Add(CommandPath.Of(command), option.Name);
                }
            }

            return data;
        }
    }

    [Theory]
    [MemberData(nameof(Options))]
    public void No_option_writes_a_content_under_the_ending_of_another(string path, string option)
    {
        // A page that is written is no drawing, and everything else is no page.
        string name = (path, option) is ("patternc build" or "patternc compare", "--report") or ("patternc preview", "--output") ? "x.gds" : "x.html";
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        Outcome outcome = folder.Run([.. Words(path), option, name]).Expect(2);
        Assert.StartsWith($"{path} {option}: error PC0060: ", outcome.Errors, StringComparison.Ordinal);
        Assert.Matches(@"; (say with --format|end (it|the name) in \.\w+)[^\n]*\n$", outcome.Errors);
        Assert.Empty(outcome.Output);
        Assert.Equal(OnlyInput, folder.Entries);
    }

    [Theory]
    [InlineData("preview a.layout -o x.foo", "patternc preview --output: error PC0060: nothing is written here under a name that ends in .foo, such as 'x.foo'; end it in .png, .svg or .html, or say with --format what to write")]
    [InlineData("simulate a.layout --thickness x.foo", "patternc simulate --thickness: error PC0060: nothing is written here under a name that ends in .foo, such as 'x.foo'; end it in .npy, .png or .svg")]
    [InlineData("export a.layout -o x.foo", "patternc export --output: error PC0060: nothing is written here under a name that ends in .foo, such as 'x.foo'; end it in .dxf, .svg or .gds, or say with --format what to write")]
    [InlineData("preview a.layout --format png -o x.svg", "patternc preview --output: error PC0060: 'x.svg' ends in .svg, which means SVG, but it would hold a PNG picture; end the name in .png")]
    [InlineData("emit a.layout -o x.wav", "patternc emit --output: error PC0060: 'x.wav' ends in .wav, which means a sound file, but it would hold an exposure stream; end the name in .stream, or say with --format what to write")]
    [InlineData("build a.layout -o x.csv", "patternc build --output: error PC0060: 'x.csv' ends in .csv, which means a table of voltages, but it would hold an exposure stream; say with --format what to write, or give the file another name")]
    [InlineData("estimate a.layout -o x.json", "patternc estimate --output: error PC0060: 'x.json' ends in .json, which means JSON, but it would hold a text; end the name in .txt")]
    [InlineData("fracture a.layout -o X.PNG", "patternc fracture --output: error PC0060: 'X.PNG' ends in .PNG, which means a PNG picture, but it would hold figures; end the name in .figures")]
    public void The_message_names_what_is_known(string line, string message)
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        Assert.Equal(message + "\n", folder.Run(line.Split(' ')).Expect(2).Errors);
        Assert.Equal(OnlyInput, folder.Entries);
    }

    [Theory]
    [InlineData("fracture a.layout -o x")]
    [InlineData("fracture a.layout -o x.v2")]
    [InlineData("preview a.layout -o x.foo --format png")]
    [InlineData("build a.layout -q --format volts -o x.csv")]
    [InlineData("build a.layout -q --format volts -o x.txt")]
    public void Other_names_are_free(string line)
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        Assert.Empty(folder.Run(line.Split(' ')).Expect(0).Errors);
    }

    [Theory]
    [InlineData("outputs: [{file: x.wav, format: stream}]", 3, 18, "'x.wav' ends in .wav, which means a sound file, but it would hold an exposure stream; end the name in .stream")]
    [InlineData("keep: {figures: x.png}", 3, 17, "'x.png' ends in .png, which means a PNG picture, but it would hold figures; end the name in .figures")]
    [InlineData("report: x.yaml", 3, 9, "'x.yaml' ends in .yaml, which means YAML, but it would hold a page; end the name in .html")]
    public void A_job_is_held_to_the_same(string line, int row, int column, string message)
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout).With("job.yaml", $"job: j\nsources: [a.layout]\n{line}\n");
        Assert.StartsWith($"job.yaml:{row}:{column}: error PC0160: {message}\n", folder.Run("build", "job.yaml").Expect(1).Errors, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("fill in -o in", "patternc fill: error PC0063: the output 'in' is the input 'in'")]
    [InlineData("fill in -o ./sub/../in", "patternc fill: error PC0063: the output './sub/../in' is the input 'in'")]
    [InlineData("fill in -o link", "patternc fill: error PC0063: the output 'link' is the input 'in'")]
    [InlineData("fill link -o hard", "patternc fill: error PC0063: the output 'hard' is the input 'link'")]
    [InlineData("fill here/in -o in", "patternc fill: error PC0063: the output 'in' is the input 'here/in'")]
    [InlineData("fill other --machine in -o in", "patternc fill: error PC0063: the output 'in' is the input 'in'")]
    [InlineData("fill -o in < in", "patternc fill: error PC0063: the output 'in' is the input standard input")]
    [InlineData("fill in >> in", "patternc fill: error PC0063: the output standard output is the input 'in'")]
    [InlineData("compare other in -o in", "patternc compare: error PC0063: the output 'in' is the input 'in'")]
    [InlineData("simulate other --picture new --thickness here/new", "patternc simulate: error PC0063: the outputs 'here/new' and 'new' are one file")]
    [InlineData("simulate other -o new --picture soon", "patternc simulate: error PC0063: the outputs 'soon' and 'new' are one file")]
    [InlineData("fit spread other -o new --plot new", "patternc fit spread: error PC0063: the outputs 'new' and 'new' are one file")]
    [InlineData("batch job.yaml --json new --depfile here/new", "patternc batch: error PC0063: the outputs 'here/new' and 'new' are one file")]
    public void What_an_output_would_destroy_is_refused_before_anything_is_done(string line, string message)
    {
        using WorkFolder folder = new WorkFolder().With("in", "kept").With("other", Patterns.Layout).With("job.yaml", "job: j\n");
        Executable.Shell(folder.Path, "mkdir sub; ln -s in link; ln in hard; ln -s . here; ln -s new soon").Expect(0);
        string[] before = folder.Entries;
        Outcome outcome = Executable.Shell(folder.Path, $"patternc {line}").Expect(2);
        Assert.Equal(message + "; give the output another name\n", outcome.Errors);
        Assert.Equal("kept", File.ReadAllText(folder["in"]));
        Assert.Equal(before, folder.Entries);
    }

    [Fact]
    public void Devices_may_be_shared_and_a_folder_is_no_file()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout).With("sub/x", "kept");
        folder.Run("simulate", "a.layout", "-q", "-o", "/dev/null", "--picture", "/dev/null").Expect(0);
        Assert.Equal("sub: error PC0004: cannot write: it is a folder; name a file\n", folder.Run("fracture", "a.layout", "-o", "sub").Expect(4).Errors);
    }

    [Fact]
    public void A_job_and_its_links_are_told_apart_by_file()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout).With("job.yaml", "job: j\nsources: [a.layout]\noutputs: [{file: link, format: stream}]\n");
        Executable.Shell(folder.Path, "ln -s a.layout link").Expect(0);
        Assert.StartsWith("job.yaml:3:18: error PC0122: 'outputs[1].file' would overwrite 'link', which the job reads; choose another name\n", folder.Run("build", "job.yaml").Expect(1).Errors, StringComparison.Ordinal);
        folder.With("job.yaml", "job: j\nsources: [a.layout]\noutputs: [{file: x, format: stream}, {file: y, format: volts}]\n");
        Executable.Shell(folder.Path, "ln -s x y").Expect(0);
        Assert.StartsWith("job.yaml:3:45: error PC0122: 'outputs[2].file' has the same path as another output, 'y'; choose another name\n", folder.Run("build", "job.yaml").Expect(1).Errors, StringComparison.Ordinal);
        Assert.Equal(
            "job.yaml: error PC0122: the output './a.layout' would overwrite 'a.layout', which the job reads; choose another name\n",
            folder.With("job.yaml", "job: j\nsources: [a.layout]\n").Run("build", "job.yaml", "-q", "--keep", ".").Expect(1).Errors);
    }

    [Fact]
    public void A_build_of_a_batch_does_not_write_what_another_reads()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout)
            .With("one.yaml", "job: one\nsources: [a.layout]\noutputs: [{file: one.stream, format: stream}]\nkeep: {layout: kept.layout}\n")
            .With("two.yaml", "job: two\nsources: [./kept.layout]\noutputs: [{file: two.stream, format: stream}]\n").With("kept.layout", Patterns.Layout);
        Outcome outcome = folder.Run("batch", "one.yaml", "two.yaml").Expect(1);
        Assert.Contains($"one.yaml: error PC6061: the output '{folder["kept.layout"]}' is read by 'two.yaml'; give the output another name, or build the two jobs one after the other\n", outcome.Errors, StringComparison.Ordinal);
        Assert.Equal(Patterns.Layout, File.ReadAllText(folder["kept.layout"]));
    }

    [Fact]
    public void A_dangling_link_is_written_through_or_told()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        Executable.Shell(folder.Path, "ln -s there good; ln -s 'no where/x' bad; ln -s loop loop").Expect(0);
        folder.Run("fracture", "a.layout", "-o", "good").Expect(0);
        Assert.StartsWith("figures 1\n", File.ReadAllText(folder["there"]), StringComparison.Ordinal);
        Assert.Equal(
            $"bad: error PC0004: cannot write: it is a link to '{folder["no where/x"]}', whose folder does not exist; create the folder with: mkdir -p '{folder["no where"]}'; or remove the link\n",
            folder.Run("fracture", "a.layout", "-o", "bad").Expect(4).Errors);
        Assert.Equal("loop: error PC0004: cannot write: its links lead in a circle\n", folder.Run("fracture", "a.layout", "-o", "loop").Expect(4).Errors);
    }

    private static IEnumerable<Command> Descend(Command command) => command.Subcommands.SelectMany(Descend).Prepend(command);

    private static string[] Words(string path) => path switch
    {
        "patternc compare" => ["compare", "a.layout", "a.layout"],
        "patternc offset" => ["offset", "a.layout", "--by", "1nm"],
        "patternc plan" => ["plan", "--feature", "1um"],
        "patternc repeat" => ["repeat", "a.layout", "--run", "last"],
        "patternc schema" => ["schema", "job"],
        "patternc run" => ["run", "a.layout", "--dry-run"],
        "patternc send" => ["send", "a.layout", "--link", "-"],
        _ when path.StartsWith("patternc generate", StringComparison.Ordinal) => path.Split(' ')[1..],
        _ => [.. path.Split(' ')[1..], "a.layout"],
    };
}
