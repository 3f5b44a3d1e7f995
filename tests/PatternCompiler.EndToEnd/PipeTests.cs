using System.Text;

namespace PatternCompiler.EndToEnd;

/// <summary>Emission into readers that stop early and onto disks that fill up.</summary>
public sealed class PipeTests
{
    // 400 rows of 4,000 points: 10 MB as a stream of points, far more than a pipe or the small disk holds.
    private static WorkFolder Folder()
    {
        var records = new StringBuilder(
            "records 1\nmachine \"built-in microscope, 16 bit\"\nbits 16\nrange -10 10 V\ncoding offset-binary\nfull-scale one-beyond-last-code\nclock 10000000 Hz\ndwell 5 16777215 ticks\nstep 1.52587890625 1.52587890625 nm\naxes straight\nblank high\n");
        for (int row = 0; row < 400; row++)
        {
            records.Append("jump 0 ").Append(row).Append(" 500\nline 0 ").Append(row).Append(" 3999 ").Append(row).Append(" 4000 84000\n");
        }

        records.Append("end 800 1600000 ").Append(400 * 84_500).Append('\n');
        return new WorkFolder().With("a.records", records.ToString());
    }

    [Theory]
    [InlineData("stream --profile points")]
    [InlineData("words")]
    [InlineData("volts")]
    [InlineData("gcode")]
    public void Emission_ends_quietly_when_its_reader_has_enough(string format)
    {
        using WorkFolder folder = Folder();
        Outcome outcome = Executable.Shell(
            folder.Path, $"patternc emit a.records -q --format {format} | head -c 1000 | wc -c; echo ${{PIPESTATUS[0]}}").Expect(0);
        Assert.Equal("1000\n0\n", outcome.Output);
        Assert.Empty(outcome.Errors);
    }

    [Fact]
    public void Every_stage_before_a_reader_that_has_enough_ends_quietly()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", "layout 1\nunit um\nlayer a\nrect on a from (-40, -40) to (40, 40)\n");
        Outcome outcome = Executable.Shell(
            folder.Path,
            "patternc parse a.layout | patternc fracture | patternc fill -q | patternc scale -q | patternc emit -q --profile points | head -c 100 | wc -c; echo ${PIPESTATUS[*]}").Expect(0);
        Assert.Equal("100\n0 0 0 0 0 0 0\n", outcome.Output);
        Assert.Empty(outcome.Errors);
    }

    [Theory]
    [InlineData("stream --profile points")]
    [InlineData("volts")]
    [InlineData("wav")]
    [InlineData("npy")]
    [InlineData("vcd")]
    public void A_disk_that_fills_up_is_told_and_no_file_is_left(string format)
    {
        using WorkFolder folder = Folder();
        Outcome outcome = OnSmallDisk(folder, $"patternc emit a.records --format {format} -o disk/a.out; echo $?; ls -A disk");
        Assert.Equal("4\n", outcome.Output);
        Assert.Equal("disk/a.out: error PC0005: cannot write: no space left on the device; free some space, or write elsewhere with -o FILE\n", outcome.Errors);
    }

    [Fact]
    public void The_outputs_of_a_build_on_a_disk_that_fills_up_are_all_or_none()
    {
        using WorkFolder folder = new WorkFolder()
            .With("a.layout", "layout 1\nunit um\nlayer a\nrect on a from (-40, -40) to (40, 40)\n")
            .With("job.yaml", "job: square\nsources: [a.layout]\noutputs: [{file: disk/a.stream, format: stream}, {file: disk/a.csv, format: volts}]\n");
        Outcome outcome = OnSmallDisk(folder, "patternc build job.yaml -q; echo $?; ls -A disk");
        Assert.Equal("4\n", outcome.Output);
        Assert.Contains("error PC0005: cannot write: no space left on the device", outcome.Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void Standard_output_on_a_full_device_is_an_error()
    {
        using WorkFolder folder = Folder();
        Assert.Equal(
            "standard output: error PC0005: cannot write: no space left on the device; free some space, or write elsewhere with -o FILE\n",
            Executable.Shell(folder.Path, "patternc emit a.records > /dev/full").Expect(4).Errors);
    }

    /// <summary>Runs a line where <c>disk</c> is a disk of 256 KiB of its own, in a name space that needs no rights.</summary>
    private static Outcome OnSmallDisk(WorkFolder folder, string line)
    {
        Directory.CreateDirectory(folder["disk"]);
        File.WriteAllText(folder["run.sh"], $"mount -t tmpfs -o size=256k none disk || exit 99\npatternc() {{ \"$PATTERNC\" \"$@\"; }}\n{line}\n");
        Outcome outcome = Executable.Shell(folder.Path, $"export PATTERNC='{Executable.Path}'; unshare --user --map-root-user --mount bash run.sh");
        Assert.True(outcome.ExitCode != 99, $"No small disk could be mounted; these tests need user name spaces: {outcome.Errors}");
        return outcome;
    }
}
