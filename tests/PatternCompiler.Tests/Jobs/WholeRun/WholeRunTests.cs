using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Tests.Jobs.WholeRun;

/// <summary>
/// From random drawings through random settings to the bytes of a stream, which are then read as a controller reads them and
/// compared with what was drawn and described: by the definition of dose, the geometry of the field and the law of settling, worked
/// out here and with nothing of the program but the figures, whose areas are compared with those drawn.
/// </summary>
public sealed class WholeRunTests
{
    private const int Runs = 60;

    private static readonly KeptDocuments KeepFigures = new(null, "k.figures", null, null, false);

    [Fact]
    public void What_the_controller_does_is_what_was_drawn()
    {
        int built = 0;
        RandomRun.Any.Sample(
            run =>
            {
                if (Build(run) is (BuildSummary summary, StreamBytes stream, FiguresDocument figures, HashSet<string> told))
                {
                    Interlocked.Increment(ref built);
                    RequireHeader(run, stream);
                    RequireTotals(summary, stream);
                    RequireBeamAndSettling(run, stream);
                    RequireOrder(run, stream, figures, told);
                    RequireCharge(run, stream, figures, told);
                    RequirePlaces(run, stream, figures);
                }
            },
            iter: Iterations.Usually(Runs),
            print: run => run.ToString());

        // The rest asks for dwells shorter than the controller makes.
        Assert.InRange(built, Iterations.Usually(Runs) / 2, Iterations.Usually(Runs));
    }

    [Fact]
    public void A_chain_of_single_stages_gives_the_same_bytes() => RandomRun.Any.Sample(
        run =>
        {
            MemoryFiles files = new MemoryFiles().With("chip.layout", run.Drawing);
            BuildSettings settings = SettingsOf(run, new KeptDocuments("k.layout", "k.figures", "k.strokes", "k.records", false));
            try
            {
                BuildRunner.Run(settings, files, new DiagnosticSink(), CancellationToken.None);
            }
            catch (CompileException)
            {
                return;
            }

            foreach ((string name, byte[] bytes) in BuildRunnerTests.RunStages(settings, run.Drawing))
            {
                // The stages alone write lines, whether or not the controller draws them.
                Assert.True((name == "chip.stream" && !run.Machine.InterpolatesLines) || bytes.AsSpan().SequenceEqual(files.Written[name]), $"{name} differs");
            }
        },
        iter: Iterations.Usually(15),
        print: run => run.ToString());

    private static BuildSettings SettingsOf(RandomRun run, KeptDocuments kept) => new(
        JobFile.Parse(run.Job, null) with { Sources = [new JobSource("chip.layout")], Outputs = [new JobOutput("chip.stream", OutputFormat.Stream)], Keep = kept },
        MachineFile.Parse(run.Machine.Yaml, null),
        ProcessFile.Parse(RandomRun.Process, null));

    /// <summary>Nothing comes out of a build that fails, and its message says what to do.</summary>
    private static (BuildSummary Summary, StreamBytes Stream, FiguresDocument Figures, HashSet<string> Told)? Build(RandomRun run)
    {
        MemoryFiles files = new MemoryFiles().With("chip.layout", run.Drawing);
        BuildSettings settings = SettingsOf(run, KeepFigures);
        var sink = new DiagnosticSink();
        try
        {
            BuildSummary summary = BuildRunner.Run(settings, files, sink, CancellationToken.None);
            FiguresDocument figures = FiguresReader.Read(new MemoryStream(files.Written["k.figures"]), "k.figures", new DiagnosticSink(), CancellationToken.None);
            return (summary, new StreamBytes(files.Written["chip.stream"]), figures, [.. sink.Collected.Select(diagnostic => diagnostic.Code.Id)]);
        }
        catch (CompileException failure)
        {
            Assert.Empty(files.Written);
            Assert.Matches("figure|layer", failure.Message);
            Assert.NotNull(failure.Diagnostic.Fix);
            return null;
        }
    }

    private static void RequireHeader(RandomRun run, StreamBytes stream)
    {
        Assert.Equal(run.Machine.Bits, stream.Bits);
        Assert.Equal(run.Machine.ClockMHz * 1e6, stream.ClockHertz);
        Assert.Equal(run.Machine.Delays is null ? 3 : run.Machine.ActiveHigh ? 1 : 2, stream.BlankLevel);
        Assert.Equal(run.Machine.Coding switch { "straight" => 0, "offset binary" => 1, _ => 2 }, stream.Coding);
    }

    private static void RequireTotals(BuildSummary summary, StreamBytes stream)
    {
        Assert.Equal(stream.Counted, stream.Stated);
        Assert.Equal(stream.Counted.Points, summary.Estimate.Points);
        Assert.Equal(Seconds(StreamBytes.Kind.Point), summary.Estimate.ExposingSeconds, 1e-9);
        Assert.Equal(Seconds(StreamBytes.Kind.Jump), summary.Estimate.SettlingSeconds, 1e-9);
        Assert.Equal(Seconds(StreamBytes.Kind.Wait), summary.Estimate.WaitingSeconds, 1e-9);
        Assert.Equal(stream.Bytes, summary.Estimate.StreamBytes);

        double Seconds(StreamBytes.Kind kind) => stream.Steps.Where(s => s.Kind == kind).Sum(s => s.Ticks) / stream.ClockHertz;
    }

    /// <summary>The beam comes on where a jump has taken it, and every jump waits as long as the way asks for.</summary>
    private static void RequireBeamAndSettling(RandomRun run, StreamBytes stream)
    {
        (long X, long Y)? at = null;
        bool isOn = false;
        foreach (StreamBytes.Step step in stream.Steps)
        {
            switch (step.Kind)
            {
                case StreamBytes.Kind.Jump:
                    long all = 1L << run.Machine.Bits;
                    double wait = at is (long x, long y) ? run.Machine.SettleTicks(step.X - x, step.Y - y) : run.Machine.SettleTicks(all, all);
                    Assert.InRange(step.Ticks, wait - 1e-6, wait + 1 + 1e-6);
                    (at, isOn) = ((step.X, step.Y), false);
                    break;
                case StreamBytes.Kind.Point:
                    Assert.InRange(step.Ticks, run.Machine.ShortestTicks, 16_777_215);

                    // A blanker that is slow takes the last points of a line together at its end, all of them where they are few.
                    Assert.True(isOn || at == (step.X, step.Y) || run.Machine.Delays is (> 0, _), $"the beam comes on at {step.X}, {step.Y} after {at}");
                    (at, isOn) = ((step.X, step.Y), true);
                    break;
                case StreamBytes.Kind.Wait:
                    isOn = false;
                    break;
            }
        }
    }

    private static void RequireOrder(RandomRun run, StreamBytes stream, FiguresDocument figures, HashSet<string> told)
    {
        long[] markers = [.. stream.Steps.Where(s => s.Kind == StreamBytes.Kind.Marker).Select(s => s.Ticks)];
        long[] first = [.. markers.Distinct()];
        if (!run.Fill.JoinsFigures && !told.Contains(FillCodes.LeftOutFigures.Id))
        {
            Assert.Equal(Enumerable.Range(0, figures.Figures.Count).Select(n => (long)n), first.Order());
        }

        string[] layers = [.. markers.Select(m => figures.Header.Layers[figures.Figures[(int)m].Layer])];
        Assert.Equal(layers.OrderBy(layer => layer == "fine" ? 0 : 1), layers);
        if (run.Order == "as given" && !run.Fill.JoinsFigures)
        {
            Assert.Equal(first.OrderBy(m => figures.Header.Layers[figures.Figures[(int)m].Layer] == "fine" ? 0 : 1).ThenBy(m => m), first);
        }
    }

    /// <summary>Current by the time that the beam is on, blanker delays counted, is dose by area, to half a tick a figure; more where it is told.</summary>
    private static void RequireCharge(RandomRun run, StreamBytes stream, FiguresDocument figures, HashSet<string> told)
    {
        double tick = run.Machine.CurrentPicoamperes * 1e-12 / stream.ClockHertz;
        (int offDelay, int onDelay) = run.Machine.Delays ?? (0, 0);
        var ticks = new double[figures.Figures.Count];
        int figure = -1;
        bool isOn = false;
        foreach (StreamBytes.Step step in stream.Steps.Append(new StreamBytes.Step(StreamBytes.Kind.Jump, 0, 0, 0)))
        {
            switch (step.Kind)
            {
                case StreamBytes.Kind.Marker:
                    figure = (int)step.Ticks;
                    break;
                case StreamBytes.Kind.Point:
                    ticks[figure] += step.Ticks - (isOn ? 0 : onDelay);
                    isOn = true;
                    break;
                default:
                    ticks[figure < 0 ? 0 : figure] += isOn ? offDelay : 0;
                    isOn = false;
                    break;
            }
        }

        double[] charges = [.. Enumerable.Range(0, ticks.Length).Select(i => FigureShape.Of(figures, i).Charge * run.Factor(figures.Header.Layers[figures.Figures[i].Layer]))];
        double asked = charges.Sum();
        foreach (IGrouping<(int, int, int), int> group in Enumerable.Range(0, ticks.Length).GroupBy(KeyOf))
        {
            double off = group.Sum(i => ticks[i] - charges[i] / tick);

            // Contours go round merged areas, whose corners are rounded to the grid.
            double corners = run.Fill.Strategy.Contains("contour", StringComparison.Ordinal)
                ? group.Sum(i => charges[i] / tick * FigureShape.Of(figures, i).PartWithin(figures.Header.GridPicometres * 0.5e-3))
                : 0;

            // What is too little for a point goes on to the next row of a raster; after the last there is none.
            double leftOver = run.Fill.Strategy.EndsWith("raster", StringComparison.Ordinal) ? run.Fill.Passes * run.Machine.ShortestTicks : 0;
            double allowed = 0.501 * group.Count() + corners + leftOver;

            // A figure that is worth less than the shortest dwell gets that or nothing; both are told.
            double shortest = run.Fill.Passes * run.Machine.ShortestTicks;
            int tiny = group.Count(i => charges[i] / tick < shortest);
            double missing = allowed + (told.Contains(FillCodes.LeftOutFigures.Id) ? tiny * shortest / 2 : 0);
            double excess = allowed + (told.Contains(FillCodes.TinyFigures.Id) ? tiny * shortest : 0);
            Assert.True(off > -missing && (off < excess || told.Contains(OrderCodes.BlankerTooSlow.Id)), $"figures {string.Join(", ", group)}: {off} ticks");
        }

        // Chords of 1 nm of circles of 0.1 µm and more.
        Assert.InRange(asked / run.Charge, 0.98, 1.0001);

        (int, int, int) KeyOf(int i) => (figures.Figures[i].Layer, figures.Figures[i].DoseFactor.Millionths, run.Fill.JoinsFigures ? 0 : i);
    }

    /// <summary>No point is beyond its figure, and without delays each figure's charge is centred on it.</summary>
    private static void RequirePlaces(RandomRun run, StreamBytes stream, FiguresDocument figures)
    {
        var sums = new (double Ticks, double X, double Y)[figures.Figures.Count];
        (double stepX, double stepY) = run.Machine.SampleStepNm;
        (double reachX, double reachY) = (run.Fill.ReachNm(stepX), run.Fill.ReachNm(stepY));
        int figure = -1;
        foreach (StreamBytes.Step step in stream.Steps)
        {
            if (step.Kind == StreamBytes.Kind.Marker)
            {
                figure = (int)step.Ticks;
            }
            else if (step.Kind == StreamBytes.Kind.Point)
            {
                (double x, double y) = run.Machine.PlaceOf(step.X, step.Y);
                FigureShape shape = run.Fill.JoinsFigures ? FigureShape.Around(figures) : FigureShape.Of(figures, figure);
                Assert.InRange(x, shape.Left - reachX, shape.Right + reachX);
                Assert.InRange(y, shape.Bottom - reachY, shape.Top + reachY);
                (double ticks, double sumX, double sumY) = sums[figure];
                sums[figure] = (ticks + step.Ticks, sumX + step.Ticks * x, sumY + step.Ticks * y);
            }
        }

        if (run.Machine.Delays is null or (0, 0) && !run.Fill.JoinsFigures)
        {
            double spacing = run.Fill.SpacingNm(Math.Max(stepX, stepY));
            for (int i = 0; i < sums.Length; i++)
            {
                // The middles of a few lines across a slope are not the middle of the area; many are.
                if (sums[i].Ticks == 0)
                {
                    continue;
                }

                FigureShape shape = FigureShape.Of(figures, i);
                bool isArea = figures.Figures[i].Kind == FigureKind.Trapezoid;
                if (isArea && Math.Min(shape.Right - shape.Left, shape.Top - shape.Bottom) < 6 * spacing)
                {
                    continue;
                }

                // Where dwells are few ticks, the longer ones come a little late in their turn.
                double share = isArea ? spacing / 2 : (shape.Right - shape.Left + shape.Top - shape.Bottom) / sums[i].Ticks;
                Assert.InRange(sums[i].X / sums[i].Ticks - shape.CentreX, -stepX - share, stepX + share);
                Assert.InRange(sums[i].Y / sums[i].Ticks - shape.CentreY, -stepY - share, stepY + share);
            }
        }
    }
}
