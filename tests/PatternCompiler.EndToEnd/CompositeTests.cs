using System.Globalization;

namespace PatternCompiler.EndToEnd;

/// <summary>Coarse and fine converters behind each output: 16 bits, of which the fine ones take 10.</summary>
public sealed class CompositeTests
{
    private const int CodesPerSubfield = 1024;

    private static WorkFolder Folder()
    {
        WorkFolder folder = new WorkFolder()
            .With("a.layout", "layout 1\nunit um\nlayer a\nrect on a from (-4.3, -3.1) to (4.2, 2.4)\npolygon on a (-5, 3) (5, 4.1) (2, 6.4)\nline on a (-5, -5) (4, -4)\n")
            .With("job.yaml", "job: pads\nmachine: machine.yaml\nsources: [a.layout]\nfill: {line_pitch: 8 codes, point_step: 8 codes}\nmarkers: yes\noutputs: [{file: a.stream, format: stream}]\n");
        Executable.Shell(
            folder.Path,
            "patternc build --print-defaults machine | tee single.yaml | sed 's/^  coding:/  fine_bits: 10\\n  coarse_settle: 200 us\\n  coding:/' > machine.yaml").Expect(0);
        return folder;
    }

    [Fact]
    public void Every_sub_field_is_written_in_one_go()
    {
        using WorkFolder folder = Folder();
        folder.Run("build", "job.yaml").Expect(0);
        string[][] records = [.. folder.Run("decode", "a.stream").Expect(0).Output.Split('\n').Select(line => line.Split(' '))];
        HashSet<(int, int)> subfields = [];
        (int X, int Y)? at = null;
        int coarseMoves = 0;
        foreach (string[] record in records.Where(record => record[0] is "jump" or "line" or "dot"))
        {
            (int X, int Y) start = (Code(record[1]) / CodesPerSubfield, Code(record[2]) / CodesPerSubfield);
            if (record[0] == "jump")
            {
                // 200 us at 10 MHz.
                Assert.True(start == at || Code(record[3]) >= 2000, string.Join(' ', record));
                coarseMoves += start == at ? 0 : 1;
                at = start;
                continue;
            }

            Assert.Equal(at, start);
            subfields.Add(start);
            if (record[0] == "line")
            {
                Assert.Equal(at, (Code(record[3]) / CodesPerSubfield, Code(record[4]) / CodesPerSubfield));
            }
        }

        // Three figures side by side over some 45 sub-fields: where two of them share one, it is visited twice.
        Assert.InRange(subfields.Count, 35, 60);
        Assert.InRange(coarseMoves, subfields.Count, subfields.Count + 15);
    }

    [Fact]
    public void The_dose_is_that_of_single_converters()
    {
        using WorkFolder folder = Folder();
        folder.Run("build", "job.yaml").Expect(0);
        string composite = folder.Run("estimate", "a.stream", "--job", "job.yaml", "--json").Expect(0).Output;
        folder.Run("build", "job.yaml", "--machine", "single.yaml").Expect(0);
        string single = folder.Run("estimate", "a.stream", "--job", "job.yaml", "--machine", "single.yaml", "--json").Expect(0).Output;
        Assert.Equal(Charge(single), Charge(composite), 1e-3 * Charge(single));

        static double Charge(string json)
        {
            using var document = System.Text.Json.JsonDocument.Parse(json);
            return document.RootElement.GetProperty("chargeCoulombs").GetDouble();
        }
    }

    [Fact]
    public void A_chain_gives_the_bytes_of_the_build()
    {
        using WorkFolder folder = Folder();
        folder.Run("build", "job.yaml").Expect(0);
        Executable.Shell(
            folder.Path,
            "set -o pipefail; patternc parse --job job.yaml | patternc fracture --job job.yaml | patternc fill --job job.yaml | patternc scale --job job.yaml | patternc emit --job job.yaml > chain.stream").Expect(0);
        Assert.Equal(folder.Read("a.stream"), folder.Read("chain.stream"));
    }

    private static int Code(string text) => int.Parse(text, CultureInfo.InvariantCulture);
}
