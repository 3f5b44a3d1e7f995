using System.Text.Json;
using PatternCompiler.Oracles.Receiver;

namespace PatternCompiler.EndToEnd.Days;

/// <summary>
/// A student writes again what was written six months ago, with the microscope at the wrong magnification, a process of the wrong tone, a drawing
/// and a meter in the wrong units, and the scan input off. Each is found before the beam is on; then the same bytes come out, and what is not as it was
/// is listed.
/// </summary>
public sealed class StudentTests(CReceiver receiver) : IClassFixture<CReceiver>
{
    private const string Start =
        "start/rules: yes\nstart/sample: yes\nstart/energy: yes\nstart/magnification: yes\nstart/scan: yes\nstart/polarity: yes\nstart/blanked current: 0.2 pA\nstart/current: 100 pA\n";

    private const string Machine =
        "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}\ndeflection: {field: 100 um}\nsettle: {fixed: 20 us}\n"
        + "clock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}\nblanker: {active: high}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 8 MB/s, buffer: 64 KiB}\n";

    private const string Process = "process: pmma\ndose: {area: 300 uC/cm2, line: 1 nC/cm, dot: 10 fC}\nresist: {tone: positive, onset: 100 uC/cm2, clearing: 150 uC/cm2}\n";
    private const string Drawing = "layout 1\nunit um\nlayer pads\nrect on pads at (-20, 0) size (2, 1)\nrect on pads at (26, 0) size (2, 1)\n";

    [Fact]
    public void Six_months_later()
    {
        using WorkFolder folder = new WorkFolder().With("machine.yaml", Machine).With("process.yaml", Process).With("pads.layout", Drawing).With("answers.yaml", Start)
            .With("job.yaml", "job: pads\nmachine: machine.yaml\nprocess: process.yaml\nsources: [pads.layout]\noutputs: [{file: pads.stream, format: stream}]\n");
        string[] run = ["run", "job.yaml", "--log", "runs.log", "--answers", "answers.yaml", "--link"];

        // Then: built with its provenance and sent.
        folder.Run("build", "job.yaml", "--provenance", "pads.json").Expect(0);
        byte[] sent = folder.Read("pads.stream");
        string[] then = Dots(link => folder.Run("send", "pads.stream", "--link", link, "--log", "runs.log", "--provenance", "pads.json", "--note", "lot=7").Expect(0));
        File.Delete(folder["pads.stream"]);
        File.Delete(folder["pads.json"]);
        string name = JsonDocument.Parse(File.ReadAllLines(folder["runs.log"])[0]).RootElement.GetProperty("run").GetString()!;

        // Magnification and scan input are the microscope's: what the checklist asks says how they must be.
        string plan = folder.Run("run", "job.yaml", "--dry-run").Expect(0).Output;
        Assert.Contains("# Does it stand at the magnification and working distance where the field is 100 um wide?\n# start/magnification: yes\n", plan, StringComparison.Ordinal);
        Assert.Contains("# Is the scan input on, and are both of its cables plugged in?\n# start/scan: yes\n", plan, StringComparison.Ordinal);
        Refused("start/magnification: yes", "start/magnification: no", "error PC2214: 'start/magnification' was answered with no: ");
        Refused("start/scan: yes", "start/scan: no", "error PC2214: 'start/scan' was answered with no: ");
        Refused("start/current: 100 pA", "start/current: 100 nA", "error PC2212: the current was read as 100 nA, and the machine file has 100 pA: more than ");
        Refused("start/blanked current: 0.2 pA", "start/blanked current: 97 pA", "error PC2215: with the beam blanked 97 pA reach the sample");
        Refused("start/scan: yes\n", "", "error PC2213: nobody answers 'start/scan'");

        // The file of a smaller field does not hold the pattern; process and drawing of another tone and unit are told by the log.
        folder.With("machine.yaml", Machine.Replace("100 um", "40 um", StringComparison.Ordinal));
        Assert.Contains("error PC1601: the pattern is 48 um wide", Nothing(link => folder.Run([.. run, link]).Expect(1)).Errors, StringComparison.Ordinal);
        folder.With("machine.yaml", Machine);
        Differs("process.yaml", Process.Replace("positive", "negative", StringComparison.Ordinal), "settings.process.response.tone \"Positive\" | \"Negative\"");
        Assert.Contains("with the resist of process 'pmma', which is negative?", folder.Run("run", "job.yaml", "--dry-run").Expect(0).Output, StringComparison.Ordinal);
        folder.With("process.yaml", Process);
        Differs("pads.layout", Drawing.Replace("unit um", "unit nm", StringComparison.Ordinal), "inputs[pads.layout].sha256");
        folder.With("pads.layout", Drawing.Replace("unit um", "unit um  # looked at again", StringComparison.Ordinal));

        // Now all is as it was but for a comment, which is listed; the bytes are the same, and so is what the controller does with them.
        Outcome again = folder.Run("repeat", "runs.log", "--run", name, "-o", "again.stream").Expect(0);
        string listed = Assert.Single(again.Errors.Split('\n'), line => line.StartsWith("without effect on the bytes: ", StringComparison.Ordinal));
        Assert.StartsWith("without effect on the bytes: inputs[pads.layout].sha256 ", listed, StringComparison.Ordinal);
        Assert.Equal(sent, folder.Read("again.stream"));
        folder.With("answers.yaml", Start);
        Assert.Equal(then, Dots(link => folder.Run([.. run, link]).Expect(0)));

        // The log holds what was written and what was stopped before the beam.
        Assert.Equal(2, Runs("written"));
        Assert.Equal(5, Runs("failed"));

        int Runs(string outcome) =>
            JsonDocument.Parse(folder.Run("log", "runs.log", "--outcome", outcome, "--json").Expect(0).Output).RootElement.GetProperty("runs").GetArrayLength();

        void Refused(string right, string wrong, string expected)
        {
            folder.With("answers.yaml", Start.Replace(right, wrong, StringComparison.Ordinal));
            Assert.Contains(expected, Nothing(link => folder.Run([.. run, link]).Expect(4)).Errors, StringComparison.Ordinal);
        }

        void Differs(string file, string text, string expected)
        {
            folder.With(file, text);
            Assert.Contains(expected, folder.Run("repeat", "runs.log", "--run", name, "-o", "again.stream").Expect(1).Errors, StringComparison.Ordinal);
            Assert.DoesNotContain("again.stream", folder.Entries);
        }
    }

    /// <summary>Every dot that the controller has made.</summary>
    private string[] Dots(Action<string> send)
    {
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        send(cable.Name);
        string[] dots = [.. cable.Finish().Where(line => line.StartsWith("dot", StringComparison.Ordinal))];
        Assert.NotEmpty(dots);
        return dots;
    }

    /// <summary>The controller has been told nothing at all.</summary>
    private Outcome Nothing(Func<string, Outcome> send)
    {
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        Outcome outcome = send(cable.Name);
        Assert.Equal(["beam off"], cable.Finish());
        return outcome;
    }
}
