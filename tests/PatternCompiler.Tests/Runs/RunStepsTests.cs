using System.Collections.Immutable;
using CsCheck;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Runs.Steps;
using PatternCompiler.Tests.Jobs;
using PatternCompiler.Tests.Passes;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Runs;

/// <summary>What a run is divided into, and what is written in each step.</summary>
public sealed class RunStepsTests
{
    // Drawn so that order of layers, of fields and of positions differ.
    private const string Drawing = "rect on b from (-30, 1) to (-29, 3)\nrect on a from (-20, -5) to (-18, -4)\ndot on c at (15, 6)\nrect on a from (20, -5) to (22, -3) dose 0.5\n";

    private const string Fields = "fields: {size: 40 um, margin: 2 um, first: [-20 um, 0 um]}\n";

    [Theory]
    [InlineData("", "pattern: a b c")]
    [InlineData("run: {hold: layers}", "layer a: a; layer b: b; layer c: c")]
    [InlineData("run: {groups: {fine: c, coarse: [b, a]}}", "fine: c; coarse: a b")]
    [InlineData("run: {groups: {fine: c}}", "fine: c; rest: a b")]
    [InlineData("run: {groups: {fine: [c, a]}}", "fine: a c; rest: b")]
    [InlineData(Fields, "r01c01: a b; r01c02: a c")]
    [InlineData(Fields + "run: {groups: {fine: [c, b]}}", "r01c01 fine: b; r01c01 rest: a; r01c02 fine: c; r01c02 rest: a")]
    [InlineData(Fields + "run: {groups: {fine: c}}", "r01c01 rest: a b; r01c02 fine: c; r01c02 rest: a")]
    [InlineData(Fields + "run: {groups: {fine: c, coarse: [b, a]}}", "r01c01 coarse: a b; r01c02 fine: c; r01c02 coarse: a")]
    [InlineData(Fields + "run: {hold: [layers, fields]}", "r01c01 layer a: a; r01c01 layer b: b; r01c02 layer a: a; r01c02 layer c: c")]
    [InlineData("run: {copies: [{name: k}, {}]}", "k: a b c; copy 2: a b c")]
    [InlineData("run: {hold: layers, copies: [{name: k}, {}]}", "k layer a: a; k layer b: b; k layer c: c; copy 2 layer a: a; copy 2 layer b: b; copy 2 layer c: c")]
    public void Fields_groups_and_copies_are_steps_that_together_write_all(string job, string expected)
    {
        ImmutableArray<RunStep> steps = RunCase.Steps(RunCase.Settings(job, RunCase.Machine + (job.StartsWith(Fields, StringComparison.Ordinal) ? RunCase.Stage : "")), Drawing);
        string[] told = [.. steps.Select(step => $"{step.Name}: {string.Join(' ', step.Figures.Figures.Select(figure => step.Figures.Header.Layers[figure.Layer]).Distinct().Order(StringComparer.Ordinal))}")];
        string[] wanted = expected.Split("; ");
        if (job.Contains("layers", StringComparison.Ordinal))
        {
            // In the order of the pattern, which the order of the figures decides.
            (told, wanted) = ([.. told.Order(StringComparer.Ordinal)], [.. wanted.Order(StringComparer.Ordinal)]);
        }

        Assert.Equal(wanted, told);
        Assert.All(steps, step => Assert.Equal((1.0, null), (step.DoseFactor, step.Focus)));
        int copies = job.Contains("copies", StringComparison.Ordinal) ? 2 : 1;
        Assert.Equal(copies * RunCase.Steps(RunCase.Settings(""), Drawing).Single().Figures.Figures.Count, steps.Sum(step => step.Figures.Figures.Count));
    }

    /// <summary>A copy is the pattern moved, right and up, with the product of dose factors: on an unequal, slanted figure in both directions of slabs.</summary>
    [Fact]
    public void Copies_lie_where_they_are_asked_for_with_their_part_of_each_dose() => Gen.Select(Gen.Int[-200_000, 200_000], Gen.Int[-200_000, 200_000], Gen.Int[1, 3000], Gen.Bool).Sample(
        (x, y, dose, vertical) =>
        {
            const string Slanted = "polygon on a (-3, -1) (4, -2) (2, 5)\nline on b dose 0.3 (0, 1) (3, 2)\ndot on c at (-1, 4)\n";
            string fracture = $"fracture: {{direction: {(vertical ? "vertical" : "horizontal")}}}\n";
            Figure[] plain = [.. RunCase.Steps(RunCase.Settings(fracture), Slanted).Single().Figures.Figures];
            RunStep copy = RunCase.Steps(RunCase.Settings(FormattableString.Invariant($"{fracture}run: {{copies: [{{at: [{x / 10m} nm, {y / 10m} nm], dose: {dose / 1000m}, focus: -2 um}}]}}\n")), Slanted).Single();
            Assert.Equal(("copy 1", dose / 1000.0, "-2 um"), (copy.Name, copy.DoseFactor, copy.Focus));
            Assert.Equal(plain.Select(figure => (Moved(figure), figure.DoseFactor.Millionths * (long)dose / 1000.0)), copy.Figures.Figures.Select(figure => (FigureFrame.BoxOf(figure), (double)figure.DoseFactor.Millionths)));

            GridBox Moved(Figure figure)
            {
                GridBox box = FigureFrame.BoxOf(figure);
                return new(box.XLeft + x, box.YBottom + y, box.XRight + x, box.YTop + y);
            }
        },
        iter: Iterations.Usually(30));

    /// <summary>As in a build: where nothing may be lost or printed beside the pattern, a run that would do so does not begin.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_strict_job_is_no_run_with_stray_lines(bool isStrict)
    {
        string machine = RunCase.Machine.Replace("blanker: {active: high}\n", "blanker: none\n", StringComparison.Ordinal).Replace("settle: {fixed: 20 us}", "settle: {fixed: 20 us, slew: 1 nm/us}", StringComparison.Ordinal);
        BuildSettings settings = RunCase.Settings(isStrict ? "strict: yes\n" : "", machine);
        var sink = new DiagnosticSink();
        Exception? fault = Record.Exception(() => CompiledRun.Of(
            settings, new MemoryFiles().With("a.layout", "layout 1\nunit um\nlayer a\nrect on a from (0, 0) to (1, 1)\nrect on a from (30, 20) to (31, 21)\n"), sink, CancellationToken.None));
        Assert.Equal(isStrict ? "PC3025" : null, (fault as CompileException)?.Diagnostic.Code.Id);
        Assert.Equal(isStrict ? Severity.Error : Severity.Warning, ((fault as CompileException)?.Diagnostic ?? sink.Collected.Single(told => told.Code.Id == "PC3025")).Severity);
    }

    [Fact]
    public void Positions_count_in_steps_of_the_drawing()
    {
        BuildSettings settings = RunCase.Settings("run: {copies: [{at: [2.26 nm, -1.24 nm]}]}\n");
        GridBox box = FigureFrame.BoxOf(RunCase.Steps(settings, "dot on a at (1, 2)\n").Single().Figures.Figures.Single());
        Assert.Equal((10_023, 19_988), (box.XLeft, box.YBottom));
    }

    [Theory]
    [InlineData("run: {groups: {a: [a, d], b: b}}", "job.yaml: error PC2210: 'run.groups' names layer 'd', on which nothing is written; there is 'a', 'b', 'c'; correct the name, or leave it out")]
    [InlineData("run: {copies: [{}, {at: [0 nm, -107.37419 mm]}]}", "job.yaml: error PC2211: 'copy 2' lies beyond all coordinates; look for a wrong unit")]
    [InlineData("run: {copies: [{name: k, at: [107.37419 mm, 0 nm]}]}", "job.yaml: error PC2211: 'k' lies beyond all coordinates; look for a wrong unit")]
    [InlineData("run: {copies: [{name: k, at: [0 nm, 107.3741824 mm]}]}", "job.yaml: error PC2211: 'k' lies beyond all coordinates; look for a wrong unit")]
    [InlineData("run: {copies: [{at: [28.1 um, 0 um]}]}", "on layer a at (49.1, -4) um")]
    [InlineData("run: {copies: [{at: [0 um, -45.1 um]}]}", "on layer a at (21, -49.1) um")]
    public void What_cannot_be_written_is_refused(string job, string expected) =>
        Assert.Contains(expected, Assert.Throws<CompileException>(() => RunCase.Steps(RunCase.Settings(job), Drawing)).Diagnostic.ToString(), StringComparison.Ordinal);

    [Fact]
    public void No_factor_becomes_larger_than_the_largest()
    {
        BuildSettings settings = RunCase.Settings("run: {copies: [{dose: 1000}]}");
        Assert.Equal(DoseFactor.Largest, RunCase.Steps(settings, "rect on a from (0, 0) to (1, 1) dose 2\n").Single().Figures.Figures.Single().DoseFactor);
        Assert.Equal(
            "job.yaml: error PC2218: 'copy 1' asks for 1000 times the dose, which makes a dose factor of 2.000001 larger than 2000; lower the copy's 'dose', and raise the base dose of the process instead",
            Assert.Throws<CompileException>(() => RunCase.Steps(settings, "rect on a from (0, 0) to (1, 1) dose 2.000001\n")).Diagnostic.ToString());
    }

    /// <summary>Ticks are charge over current: of the drawing, the copy's dose, the figure's own, and the current as it was read.</summary>
    [Theory]
    [InlineData(100, 1)]
    [InlineData(80, 1)]
    [InlineData(125, 0.4)]
    public void Dwells_are_those_for_the_current_as_it_is(double picoamperes, double dose)
    {
        BuildSettings settings = RunCase.Settings(FormattableString.Invariant($"run: {{copies: [{{at: [3 um, 7 um], dose: {dose}}}]}}\n"));
        RunStep step = RunCase.Steps(settings, "rect on a from (0, 0) to (2, 3)\nrect on b from (4, 0) to (5, 2) dose 0.5\n").Single();
        using var bytes = new MemoryStream();
        StepCompiler.Write(step, settings.Machine.Beam with { CurrentAmperes = picoamperes * 1e-12 }, settings, bytes, new DiagnosticSink(), CancellationToken.None);
        var read = new CollectingSink<RecordsHeader, DeflectionRecord>();
        ExposureStreamReader.Read(new MemoryStream(bytes.ToArray()), "a", read, new DiagnosticSink(), CancellationToken.None);

        // 200 uC/cm2 on 6 um2, and half of it on 2 um2.
        double charge = 200e-6 * (6e-8 + (0.5 * 2e-8)) * dose;
        double ticks = read.Items.Where(record => record.Kind is RecordKind.Dot or RecordKind.Line).Sum(record => (double)record.Ticks);
        Assert.Equal(charge / (picoamperes * 1e-12) * 1e7, ticks, 1.0);
    }

    /// <summary>A hash of all that is written: of name, place on the pattern and under the stage, dose, focus and figures of each step, in their order.</summary>
    [Fact]
    public void Whatever_differs_in_what_is_written_differs_in_the_hash()
    {
        ImmutableArray<RunStep> steps = RunCase.Steps(RunCase.Settings(Fields, RunCase.Machine + RunCase.Stage), Drawing);
        RunStep last = steps[^1];
        RunStep[][] others =
        [
            [.. steps],
            [.. steps.Reverse()],
            [.. steps[..^1]],
            With(last with { Name = "other" }),
            With(last with { DoseFactor = 1.0000001 }),
            With(last with { Focus = "1" }),
            With(last with { Position = last.Position with { XFemtometres = last.Position.XFemtometres + 1 } }),
            With(last with { Position = last.Position with { YFemtometres = last.Position.YFemtometres + 1 } }),
            With(last with { Position = last.Position with { StageXNanometres = last.Position.StageXNanometres + 1e-3 } }),
            With(last with { Position = last.Position with { StageYNanometres = last.Position.StageYNanometres + 1e-3 } }),
            With(last with { Figures = last.Figures with { Figures = [.. last.Figures.Figures.Skip(1)] } }),
            With(last with { Figures = last.Figures with { Figures = [.. last.Figures.Figures.Reverse()] } }),
        ];
        string[] hashes = [.. others.Select(PatternHash.Of)];
        Assert.Equal(hashes, hashes.Distinct());
        Assert.All(hashes, hash => Assert.Matches("^[0-9a-f]{64}$", hash));
        Assert.Equal(hashes[0], PatternHash.Of(RunCase.Steps(RunCase.Settings(Fields, RunCase.Machine + RunCase.Stage), Drawing)));

        // SHA-256 of nothing: FIPS 180-4's examples, as published by NIST.
        Assert.Equal("e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855", PatternHash.Of([]));

        RunStep[] With(RunStep changed) => [.. steps[..^1], changed];
    }
}
