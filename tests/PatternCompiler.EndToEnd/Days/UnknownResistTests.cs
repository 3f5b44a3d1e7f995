using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using PatternCompiler.Oracles.Lab;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Bench;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;
using Xunit.Abstractions;

namespace PatternCompiler.EndToEnd.Days;

/// <summary>
/// A negative resist of which nobody knows more than that its film is about 200 nm thick, at 20 kV, with beams of 30 nA and 200 pA on offer. From
/// nothing: settings, what each beam can write, squares for gel and retention dose, bars for threshold and bias about the dose that these told, and the
/// device, its fine part with the one beam, its pads with the other where the plan lets it. The spread is what stands in books, 15 % off or so. Drawings
/// and jobs are those of the example; what follows from readings is put into them by the program's own words.
/// </summary>
/// <remarks>
/// Fine edges are held to 10 nm, a fifteenth of a finger, half of what a dose test alone is held to: a finger is then 130 to 170 nm wide. Those of pads are
/// held to 40 nm, a quarter of the coarse beam. Common practice asks a tenth of a width, no source.
/// </remarks>
public sealed partial class UnknownResistTests(ITestOutputHelper console)
{
    private const int UsualSeeds = 1;
    private const double LargestFineNanometres = 10;
    private const double LargestCoarseNanometres = 40;
    private const double GuessedDose = 300;

    [Fact]
    public void Unknown_negative_resist_at_20_kilovolts() => LabLoop.Run(console, UsualSeeds, Day);

    // A judge that never complains is none: written by the guess, with no test, the fine part is wrong.
    [Fact]
    public void Without_the_tests_the_device_is_found_wrong()
    {
        using WorkFolder folder = Begun(1, out LabDescription lab);
        folder.With("tuesday.yaml", File.ReadAllText(folder["out/guess.yaml"]));
        Exposed(folder, lab, "fine", "", bias: null, "device", beam: null);
        (double fine, _) = Errors(new SampleFolder(lab, folder["out/device"]).Read(), folder);
        Assert.False(Math.Abs(fine) < LargestFineNanometres);
    }

    private static (string Found, bool IsRight) Day(long seed)
    {
        using WorkFolder folder = Begun(seed, out LabDescription lab);
        string[] known = ["--machine", "out/fine/machine.yaml", "--beams", "beams.csv"];

        // Monday: 30 nA are too wide for the fingers, and the plan says so; squares at doses of a factor of 20 tell where the resist gels.
        Outcome plan = folder.Run(["plan", "--feature", "150 nm", "--process", "out/guess.yaml", "--fields", "fields.csv", .. known]).Expect(0);
        Assert.Matches(@"\n1 +200 pA +20 nm ", plan.Output);
        Assert.Matches(@"\nnot 30 nA, 150 nm in a field of 100 um: the beam is \d+ nm wide in the resist, wider than the feature\n", plan.Output);
        string fill = Fill(folder, ["--feature", "150 nm", "--process", "out/guess.yaml", "--fields", "fields.csv", .. known]);
        folder.Run("generate", "dose-matrix", "--columns", "6", "--rows", "4", "--size", "7 um", "--pitch", "11 um", "--first-dose", "0.15", "--last-dose", "3", "-o", "out/squares.layout", "--table", "out/squares.csv").Expect(0);
        Exposed(folder, lab, "squares", fill, bias: null, "squares", beam: null);
        Read(folder, lab, "squares", seed);
        string contrast = folder.Run("fit", "contrast", "out/squares-read.csv", "--tone", "negative", "--base-dose", FormattableString.Invariant($"{GuessedDose} uC/cm2")).Expect(0).Output;
        string doses = BaseDose().Match(contrast).Groups["dose"].Value;
        Renew(folder, "monday.yaml", $"dose:\n  area: {doses}\n" + Section(contrast, "resist"));

        // Tuesday: bars and gaps about that dose tell threshold and bias, and the device is written.
        folder.Run("generate", "dose-matrix", "--columns", "3", "--rows", "6", "--size", "7 um", "--pitch", "11 um", "--first-dose", "0.4", "--last-dose", "2.4", "--bars", "1", "--narrowest", "150 nm", "-o", "out/bars.layout", "--table", "out/bars.csv").Expect(0);
        Exposed(folder, lab, "bars", fill, bias: null, "bars", beam: null);
        Read(folder, lab, "bars", seed);
        string fit = folder.Run("fit", "dose", "out/bars-read.csv", "--job", "bars.yaml", "--base-dose", doses, "--spread-error", "0.15").Expect(0).Output;
        Renew(folder, "tuesday.yaml", Section(fit, "dose") + Section(fit, "resist"));
        string? bias = BiasLine().Match(fit) is { Success: true } line ? line.Groups["line"].Value : null;
        Exposed(folder, lab, "fine", Fill(folder, ["fine.layout", "--feature", "150 nm", "--process", "tuesday.yaml", .. known]), bias, "device", "fine");
        bool isFast = Coarse(folder, lab, bias);

        LabTruthOf(lab, out double threshold, out double lateral);
        (double fineWorst, double coarseWorst) = Errors(new SampleFolder(lab, folder["out/device"]).Read(), folder);
        return (
            string.Create(
                CultureInfo.InvariantCulture,
                $"threshold {100 * ((Area(fit) / 2 / threshold) - 1):0.0} % off, bias {bias?[6..] ?? "none"} ({-lateral:0.0} nm in truth), fine edges {fineWorst:0.0} nm, pads with {(isFast ? "30 nA" : "200 pA")} {coarseWorst:0.0} nm off"),
            Math.Abs(fineWorst) < LargestFineNanometres && Math.Abs(coarseWorst) < LargestCoarseNanometres);
    }

    /// <summary>Settings from nothing, with what is known of the film, in a copy of the example.</summary>
    private static WorkFolder Begun(long seed, out LabDescription lab)
    {
        var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples/unknown-resist", ".");
        folder.With("lab.yaml", SeedLine().Replace(File.ReadAllText(folder["lab.yaml"]), FormattableString.Invariant($"seed: {seed}")));
        lab = LabDescription.Read(folder["lab.yaml"]);
        folder.Run("init", "out/fine", "--tone", "negative", "--energy", "20 kV", "--current", "200 pA", "--link", "2 MB/s").Expect(0);
        string machine = File.ReadAllText(folder["out/fine/machine.yaml"]);
        folder.With("out/coarse-machine.yaml", machine.Replace("current: 200 pA", "current: 30 nA", StringComparison.Ordinal).Replace("spot: 20 nm", "spot: 150 nm", StringComparison.Ordinal));
        string guess = File.ReadAllText(folder["out/fine/process.yaml"]);
        return folder.With("out/guess.yaml", ForwardLine().Replace(guess.Replace("# thickness: 500 nm", "thickness: 200 nm", StringComparison.Ordinal), ""));
    }

    /// <summary>The pads, with 30 nA if a row of the plan has them, with 200 pA otherwise.</summary>
    private static bool Coarse(WorkFolder folder, LabDescription lab, string? bias)
    {
        string[] question = ["coarse.yaml", "--feature", "2 um", "--beams", "beams.csv"];
        using JsonDocument plan = JsonDocument.Parse(folder.Run(["plan", .. question, "--json"]).Expect(0).Output);
        bool isFast = plan.RootElement.GetProperty("rows")[0].GetProperty("currentAmperes").GetDouble() > 1e-9;
        string fill = Fill(folder, question);
        if (!isFast)
        {
            folder.With("coarse.yaml", File.ReadAllText(folder["coarse.yaml"]).Replace("out/coarse-machine", "out/fine/machine", StringComparison.Ordinal));
        }

        Exposed(folder, lab, "coarse", fill, bias, "device", isFast ? "coarse" : "fine");
        return isFast;
    }

    private static void LabTruthOf(LabDescription lab, out double threshold, out double lateral) =>
        (threshold, lateral) = (lab.With(null).Resist.EdgeMicrocoulombs, lab.With(null).Resist.LateralNanometres);

    /// <summary>The line of spacings for the first row of a plan.</summary>
    private static string Fill(WorkFolder folder, string[] question) => FillLine().Match(folder.Run(["plan", .. question, "--row", "1"]).Expect(0).Output).Value;

    /// <summary>Compiles a job of the example with other spacings and another bias, and writes it.</summary>
    private static void Exposed(WorkFolder folder, LabDescription lab, string job, string fill, string? bias, string sample, string? beam)
    {
        string text = File.ReadAllText(folder[job + ".yaml"]);
        text = fill.Length > 0 ? FillLine().Replace(text, fill) : text;
        folder.With(job + ".yaml", BiasKey().Replace(text, bias is null ? "" : bias + "\n"));
        folder.Run("build", job + ".yaml").Expect(0);
        new SampleFolder(lab, folder["out/" + sample]).Write(folder[$"out/{job}.stream"], beam);
    }

    private static void Read(WorkFolder folder, LabDescription lab, string test, long seed) => folder.With(
        $"out/{test}-read.csv", ReadingsTable.Filled(File.ReadAllText(folder[$"out/{test}.csv"]), new SampleFolder(lab, folder["out/" + test]).Read(), new Dice(seed, "readings of " + test)));

    // The guess, with other doses and another response.
    private static void Renew(WorkFolder folder, string name, string sections)
    {
        string guess = File.ReadAllText(folder["out/guess.yaml"]);
        string area = AreaLine().Match(sections).Value;
        folder.With(name, AreaLine().Replace(guess[..guess.IndexOf("\nresist:", StringComparison.Ordinal)], area) + "\n" + Section(sections, "resist") + guess[guess.IndexOf("\nsubstrate:", StringComparison.Ordinal)..]);
    }

    /// <summary>How far edges lie outside of where they are drawn, by a ruler without noise: the worst of the fine part and of the pads.</summary>
    private static (double Fine, double Coarse) Errors(Sample sample, WorkFolder folder)
    {
        (double fine, double coarse) = (0, 0);
        foreach (string[] place in File.ReadAllLines(folder["places.csv"]).Skip(1).Select(line => line.Split(',', StringSplitOptions.TrimEntries)))
        {
            double[] numbers = [.. place[2..5].Select(cell => double.Parse(cell, CultureInfo.InvariantCulture))];
            double reach = numbers[0] < 1000 ? 400 : (numbers[0] / 2) + 400;
            (double x, double y) = (1000 * numbers[1], 1000 * numbers[2]);
            DevelopedFilm film = sample.Develop(SampleWindow.Around(x, y, 2 * reach, 400), ReadingsTable.StepNanometres);
            bool isThere = Meter.Prints(film, x, y) == (place[0] == "bar");
            double error = isThere && new Meter(new Dice(0, "verdict"), 0, 0).Width(film, x, y, isAlongX: true, reach) is { } width ? (width - numbers[0]) / 2 : double.PositiveInfinity;
            (fine, coarse) = numbers[0] < 1000 ? (Larger(fine, error), coarse) : (fine, Larger(coarse, error));
        }

        return (fine, coarse);

        static double Larger(double a, double b) => Math.Abs(b) > Math.Abs(a) ? b : a;
    }

    private static double Area(string fit) => double.Parse(AreaLine().Match(fit).Groups["area"].Value, CultureInfo.InvariantCulture);

    // A key with what is indented below it.
    private static string Section(string yaml, string key) => Regex.Match(yaml, $@"^{key}:\n(  .*\n)+", RegexOptions.Multiline, TimeSpan.FromSeconds(1)).Value;

    [GeneratedRegex(@"a base dose \('dose\.area'\) of (?<dose>\S+ uC/cm2) prints")]
    private static partial Regex BaseDose();

    [GeneratedRegex(@"^  area: (?<area>\S+) uC/cm2", RegexOptions.Multiline)]
    private static partial Regex AreaLine();

    [GeneratedRegex(@"^#   (?<line>bias: .*)$", RegexOptions.Multiline)]
    private static partial Regex BiasLine();

    [GeneratedRegex(@"^bias: .*\n", RegexOptions.Multiline)]
    private static partial Regex BiasKey();

    [GeneratedRegex(@"^fill: .*\n?", RegexOptions.Multiline)]
    private static partial Regex FillLine();

    [GeneratedRegex(@"^seed: .*$", RegexOptions.Multiline)]
    private static partial Regex SeedLine();

    [GeneratedRegex(@"^  forward: .*\n", RegexOptions.Multiline)]
    private static partial Regex ForwardLine();
}
