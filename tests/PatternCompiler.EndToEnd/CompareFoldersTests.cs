using System.Text.Json;

namespace PatternCompiler.EndToEnd;

/// <summary>Fresh outputs against expected ones: what differs, what is accepted, and that nothing is half accepted.</summary>
public sealed class CompareFoldersTests
{
    private const string Moved = "layout 1\nunit um\nlayer pads\nrect on pads from (0, 0) to (1.01, 1)\n";
    private const string Square = "layout 1\nunit um\nlayer pads\nrect on pads from (0, 0) to (1, 1)\n";
    private const string InOtherWords = "layout 1\nunit nm\nlayer pads\nrect on pads from (0, 0) to (500, 1000)\nrect on pads from (500, 0) to (1000, 1000)\n";

    [Fact]
    public void Every_file_is_told_with_what_became_of_it()
    {
        using WorkFolder folder = WithOutputs();
        Outcome outcome = folder.Run("compare", "golden", "out").Expect(1);
        Assert.Equal(
            """
            only in the first   gone.layout
            only in the second  sub/new.layout
            differs             changed.layout
                layer pads         dose 1: area 1 um2 | 1.01 um2, 0.01 um2 differ
                                   edges shifted by up to 10 nm, at (1.01, 0) um
            differs             notes.txt
                the bytes differ; this is no document that is compared further

            """,
            outcome.Output);
        Assert.Equal("2 the same, 2 differ, 1 missing, 1 new\n", outcome.Errors);
        folder.Run("compare", "golden", "golden").Expect(0);
    }

    [Fact]
    public void Tolerances_hold_for_every_pair()
    {
        using WorkFolder folder = new WorkFolder().With("golden/a.layout", Square).With("out/a.layout", Moved);
        folder.Run("compare", "golden", "out", "--tolerance", "9 nm").Expect(1);
        Assert.Equal("1 the same, 0 differ, 0 missing, 0 new\n", folder.Run("compare", "golden", "out", "--tolerance", "10 nm").Expect(0).Errors);
    }

    [Fact]
    public void Scripts_get_json()
    {
        using WorkFolder folder = WithOutputs();
        using JsonDocument json = JsonDocument.Parse(folder.Run("compare", "golden", "out", "--json", "--accept").Expect(1).Output);
        JsonElement root = json.RootElement;
        Assert.False(root.GetProperty("same").GetBoolean());
        Assert.Equal(
            [
                "gone.layout: only in the first", "sub/new.layout: only in the second", "changed.layout: differs", "notes.txt: differs",
                "same.layout: same", "words.layout: same",
            ],
            root.GetProperty("files").EnumerateArray().OrderBy(file => file.GetProperty("outcome").GetString() == "same")
                .Select(file => $"{file.GetProperty("name")}: {file.GetProperty("outcome")}"));
        JsonElement changed = root.GetProperty("files").EnumerateArray().Single(file => file.GetProperty("name").GetString() == "changed.layout");
        Assert.Equal(10, changed.GetProperty("layers")[0].GetProperty("edgeShiftNanometres").GetDouble());
        Assert.Equal(["changed.layout", "notes.txt", "sub/new.layout"], root.GetProperty("accepted").EnumerateArray().Select(name => name.GetString()));
        Assert.Equal(0, root.GetProperty("removed").GetArrayLength());
    }

    [Fact]
    public void Accepted_outputs_are_the_expected_ones_from_then_on()
    {
        using WorkFolder folder = WithOutputs();
        Outcome accepted = folder.Run("compare", "golden", "out", "--accept").Expect(1);
        Assert.Equal(
            """
            2 the same, 2 differ, 1 missing, 1 new
            accepted: changed.layout
            accepted: notes.txt
            accepted: sub/new.layout
            kept, though it is no longer made (see --accept-removals): gone.layout

            """,
            accepted.Errors);
        foreach (string name in (string[])["changed.layout", "notes.txt", "sub/new.layout"])
        {
            Assert.Equal(folder.Read($"out/{name}"), folder.Read($"golden/{name}"));
        }

        // The same areas in other words are no difference, so the expected words stay.
        Assert.Equal(Square, File.ReadAllText(folder["golden/words.layout"]));
        Assert.Equal("5 the same, 0 differ, 1 missing, 0 new\nremoved: gone.layout\n", folder.Run("compare", "golden", "out", "--accept-removals").Expect(0).Errors);
        Assert.Empty(folder.Run("compare", "golden", "out").Expect(0).Output);
    }

    [Fact]
    public void A_removed_file_takes_its_empty_folder_along()
    {
        using WorkFolder folder = new WorkFolder().With("golden/a.layout", Square).With("golden/x/y/z.layout", Square).With("out/a.layout", Square);
        folder.Run("compare", "golden", "out", "--accept-removals").Expect(0);
        Assert.Equal(["golden", "golden/a.layout", "out", "out/a.layout"], folder.Entries);
    }

    [Fact]
    public void Nothing_is_accepted_if_something_cannot_be_read()
    {
        using WorkFolder folder = WithOutputs().With("golden/broken.layout", Square).With("out/broken.layout", "layout 1\nrect oops\n");
        string[] before = folder.Entries;
        Outcome outcome = folder.Run("compare", "golden", "out", "--accept").Expect(2);
        Assert.Contains("cannot compare      broken.layout\n    out/broken.layout:2:", outcome.Output, StringComparison.Ordinal);
        Assert.Equal(
            "2 the same, 2 differ, 1 missing, 1 new, 1 cannot be compared\nnothing accepted: see what cannot be compared\n", outcome.Errors);
        Assert.Equal(before, folder.Entries);
        Assert.Equal(Square, File.ReadAllText(folder["golden/changed.layout"]));
    }

    [Fact]
    public void Nothing_is_half_accepted_if_a_name_is_taken()
    {
        // "new" is a file here and a folder there: the last copy fails, the first ones must not have their names.
        using WorkFolder folder = new WorkFolder().With("golden/a.layout", Square).With("golden/new", "a file").With("out/a.layout", Moved).With("out/new/b.layout", Square);
        folder.Run("compare", "golden", "out", "--accept").Expect(4);
        Assert.Equal(Square, File.ReadAllText(folder["golden/a.layout"]));
        Assert.Equal(["golden", "golden/a.layout", "golden/new", "out", "out/a.layout", "out/new", "out/new/b.layout"], folder.Entries);
    }

    [Fact]
    public void More_files_are_accepted_than_may_be_open_at_a_time()
    {
        using WorkFolder folder = new WorkFolder().With("golden/a.layout", Square);
        for (int i = 0; i < 300; i++)
        {
            folder.With($"out/{i}.layout", Square);
        }

        Outcome outcome = Executable.Shell(folder.Path, "ulimit -n 200; patternc compare golden out --accept-removals");
        Assert.StartsWith("0 the same, 0 differ, 1 missing, 300 new\n", outcome.Expect(0).Errors, StringComparison.Ordinal);
        Assert.Equal(300, Directory.GetFiles(folder["golden"]).Length);
    }

    [Theory]
    [InlineData("compare a.layout a.layout --accept", "patternc compare: error PC0001: --accept needs two folders; name the folder of expected files, then that of new ones\n")]
    [InlineData("compare out out/sub --accept", "patternc compare: error PC0001: 'out' and 'out/sub' share files; name two separate folders\n")]
    [InlineData("compare golden out --picture d.png", "patternc compare: error PC0001: --picture shows two documents, not two folders; name the two documents\n")]
    public void What_makes_no_sense_is_refused(string line, string message)
    {
        using WorkFolder folder = WithOutputs().With("a.layout", Square);
        Assert.Equal(message, folder.Run(line.Split(' ')).Expect(2).Errors);
    }

    [Fact]
    public void Records_of_builds_and_other_hidden_files_are_left_out()
    {
        using WorkFolder folder = new WorkFolder().With("golden/a.layout", Square).With("out/a.layout", Square).With("out/.patternc/x.built", "x").With("out/.hidden", "x");
        folder.Run("compare", "golden", "out").Expect(0);
    }

    private static WorkFolder WithOutputs() => new WorkFolder()
        .With("golden/changed.layout", Square).With("golden/gone.layout", Square).With("golden/notes.txt", "old\n")
        .With("golden/same.layout", Square).With("golden/words.layout", Square)
        .With("out/changed.layout", Moved).With("out/notes.txt", "new\n").With("out/same.layout", Square)
        .With("out/sub/new.layout", Square).With("out/words.layout", InOtherWords);
}
