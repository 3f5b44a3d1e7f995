using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Tests.Jobs.WholeRun;

/// <summary>
/// Random drawings on random machines as they are built: slow parts of the response, exposures approached from one side, loops before the
/// first figure, edges of the blanker, a leak out of focus. What they add moves the beam while it is off and changes no charge.
/// </summary>
public sealed class AsBuiltRunTests
{
    private const int Runs = 12;

    private static Gen<(RandomRun Run, string Settle, string Blanker)> Any =>
        from run in RandomRun.Any.Where(run => run.Machine.Delays is not null)
        from parts in Gen.Select(Gen.Int[1, 9], Gen.Int[1, 40], Gen.Int[50, 400])
        from axes in Gen.Select(Gen.Int[0, 3], Gen.Int[0, 3])
        from hysteresis in Gen.Int[0, 300]
        from approach in Gen.Int[0, 400]
        from loops in Gen.Int[0, 3]
        from edges in Gen.Select(Gen.Int[0, 4], Gen.Int[0, 4], Gen.Int[0, 5])
        select (
            run,
            $"settle: {{fixed: {run.Machine.FixedUs} us, response_x: {Response(axes.Item1)}, response_y: {Response(axes.Item2)}"
                + (hysteresis > 100 ? $", hysteresis_x: {hysteresis} nm, hysteresis_y: {hysteresis / 2} nm" : "")
                + (approach > 100 ? $", approach: {Math.Max(approach, hysteresis)} nm" : "")
                + (loops > 0 ? $", conditioning: {{loops: {loops}, size: 30 um}}" : "") + "}",
            $"rise_time: {edges.Item1 * Tenth(run)} us, fall_time: {edges.Item2 * Tenth(run)} us, leak: {edges.Item3 / 50m} %"
                + (edges.Item3 > 2 ? ", leak_spot: 2 um" : ""));

    [Fact]
    public void What_the_machine_adds_moves_the_beam_while_it_is_off()
    {
        int built = 0;
        Any.Sample(
            drawn =>
            {
                (RandomRun run, string settle, string blanker) = drawn;
                string plain = Machine(run, $"settle: {{fixed: {run.Machine.FixedUs} us}}", "");
                if (Build(run, Machine(run, settle, blanker)) is not (BuildSettings settings, MemoryFiles files) || Build(run, plain) is not (_, MemoryFiles others))
                {
                    return;
                }

                Interlocked.Increment(ref built);
                StreamBytes stream = new(files.Written["chip.stream"]), other = new(others.Written["chip.stream"]);
                Assert.Equal(stream.Counted, stream.Stated);
                RequireBeam(stream);

                // To a tick for each piece of a stroke that is divided or turned round, less what leaks in focus where the beam rests.
                long exposed = Exposed(stream, run), expected = Exposed(other, run);
                double rounding = Math.Max(0.01 * expected, 2 * Jumps(stream));
                double leaked = settings.Machine.Blanker.FocusedLeakFraction * Dark(stream);
                Assert.InRange(exposed, expected - rounding - leaked, expected + rounding);
                RequireChain(settings, files);
            },
            iter: Iterations.Usually(Runs),
            print: drawn => $"{Machine(drawn.Run, drawn.Settle, drawn.Blanker)}\n{drawn.Run.Job}\n{drawn.Run.Drawing}");
        Assert.InRange(built, Iterations.Usually(Runs) / 4, Iterations.Usually(Runs));
    }

    // Edges as long as a part of the delay that holds them.
    private static decimal Tenth(RandomRun run) => run.Machine.Delays is (int off, int on) ? Math.Min(off, on) / (decimal)run.Machine.ClockMHz / 10 : 0;

    private static string Response(int kind) => kind switch
    {
        0 => "[[1, 3 us]]",
        1 => "[[0.9, 2 us], [0.1, 60 us]]",
        2 => "[[0.95, 5 us], [0.05, 200 us]]",
        _ => "[[0.8, 1 us], [0.15, 20 us], [0.05, 90 us]]",
    };

    private static string Machine(RandomRun run, string settle, string blanker) => string.Join('\n', run.Machine.Yaml.Split('\n').Select(line =>
        line.StartsWith("settle:", StringComparison.Ordinal) ? settle
        : line.StartsWith("blanker:", StringComparison.Ordinal) && blanker.Length > 0 ? line.TrimEnd('}') + $", {blanker}}}"
        : line));

    private static (BuildSettings Settings, MemoryFiles Files)? Build(RandomRun run, string machine)
    {
        MemoryFiles files = new MemoryFiles().With("chip.layout", run.Drawing);
        var settings = new BuildSettings(
            JobFile.Parse(run.Job, null) with
            {
                Sources = [new JobSource("chip.layout")],
                Outputs = [new JobOutput("chip.stream", OutputFormat.Stream)],
                Keep = new KeptDocuments(null, "k.figures", "k.strokes", "k.records", false),
            },
            MachineFile.Parse(machine, null),
            ProcessFile.Parse(RandomRun.Process, null));
        try
        {
            BuildRunner.Run(settings, files, new DiagnosticSink(), CancellationToken.None);
            return (settings, files);
        }
        catch (CompileException failure)
        {
            Assert.Empty(files.Written);
            Assert.NotNull(failure.Diagnostic.Fix);
            return null;
        }
    }

    /// <summary>Every exposure begins where a jump has taken the beam, and after the last one it is off.</summary>
    private static void RequireBeam(StreamBytes stream)
    {
        (long X, long Y)? at = null;
        bool isOn = false;
        foreach (StreamBytes.Step step in stream.Steps.Where(step => step.Kind != StreamBytes.Kind.Marker))
        {
            if (step.Kind == StreamBytes.Kind.Point)
            {
                Assert.NotNull(at);
            }

            (at, isOn) = step.Kind == StreamBytes.Kind.Wait ? (at, false) : ((step.X, step.Y), step.Kind == StreamBytes.Kind.Point);
        }

        Assert.True(stream.Steps.Count > 0 && stream.Steps.First(step => step.Kind != StreamBytes.Kind.Marker).Kind is StreamBytes.Kind.Jump or StreamBytes.Kind.Wait);
    }

    /// <summary>Ticks for which the beam is on: each time it goes on and off by its delays later than it is told.</summary>
    private static long Exposed(StreamBytes stream, RandomRun run)
    {
        (int off, int on) = run.Machine.Delays!.Value;
        long ticks = 0;
        bool isOn = false;
        foreach (StreamBytes.Step step in stream.Steps.Where(step => step.Kind != StreamBytes.Kind.Marker))
        {
            bool goesOn = step.Kind == StreamBytes.Kind.Point;
            ticks += (goesOn ? step.Ticks : 0) + (goesOn && !isOn ? off - on : 0);
            isOn = goesOn;
        }

        return ticks;
    }

    private static long Dark(StreamBytes stream) => stream.Steps.Where(step => step.Kind is StreamBytes.Kind.Jump or StreamBytes.Kind.Wait).Sum(step => step.Ticks);

    private static long Jumps(StreamBytes stream) => stream.Steps.Count(step => step.Kind == StreamBytes.Kind.Jump);

    /// <summary>Filling and scaling alone give the documents of the build.</summary>
    private static void RequireChain(BuildSettings settings, MemoryFiles files)
    {
        var pipeline = new Pipeline(settings, files, new DiagnosticSink(), CancellationToken.None);
        FiguresDocument figures = FiguresReader.Read(new MemoryStream(files.Written["k.figures"]), "k.figures", new DiagnosticSink(), CancellationToken.None);
        using MemoryStream strokes = new(), records = new();
        pipeline.Fill(figures, new StrokesTextWriter(strokes));
        Assert.True(strokes.ToArray().AsSpan().SequenceEqual(files.Written["k.strokes"]), "strokes differ");
        pipeline.Scale(new PipelineInput(DocumentKind.Strokes, new MemoryStream(strokes.ToArray()), "k.strokes"), new RecordsTextWriter(records));
        Assert.True(records.ToArray().AsSpan().SequenceEqual(files.Written["k.records"]), "records differ");
    }
}
