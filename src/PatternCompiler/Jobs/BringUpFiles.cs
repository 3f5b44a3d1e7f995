using System.Collections.Immutable;
using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Generate.BringUp;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction.Waveforms;
using PatternCompiler.Reports;
using PatternCompiler.Reports.Html;

namespace PatternCompiler.Jobs;

/// <summary>A bring-up as files of a folder: streams, pictures of what they show, and the page. All of them or none.</summary>
internal sealed class BringUpFiles
{
    private const string PageName = "index.html";
    private const int PictureWidth = 960;
    private const int PictureHeight = 540;

    private readonly BuildSettings settings;
    private readonly string folder;
    private readonly BringUpBench bench;
    private readonly ImmutableArray<BringUpStep> steps;
    private readonly string ending = OutputFormats.ContentOf(OutputFormat.Stream).Endings[0];

    /// <summary>Plans the steps.</summary>
    /// <param name="settings">The machine.</param>
    /// <param name="lineCoulombsPerMetre">Dose of what is written on scrap.</param>
    /// <param name="folder">Where the files go.</param>
    /// <exception cref="CompileException">The machine's outputs may hardly move.</exception>
    public BringUpFiles(BuildSettings settings, double lineCoulombsPerMetre, string folder)
    {
        this.settings = settings;
        this.folder = folder;
        bench = new BringUpBench(settings.Machine, OutputFormats.ProfileFor(settings.Machine), lineCoulombsPerMetre);
        steps = BringUpLadder.Steps(bench);
    }

    /// <summary>The page.</summary>
    public string Page => Path.Combine(folder, PageName);

    /// <summary>All files that will be written.</summary>
    public IEnumerable<string> Names =>
    [
        .. steps.SelectMany(step => step.Views.Select(view => BringUpContent.PictureName(step, view)).Prepend(step.FileName + ending)).Select(name => Path.Combine(folder, name)),
        Page,
    ];

    /// <summary>Writes them.</summary>
    public void Write(IBuildFiles files, CancellationToken cancellation)
    {
        var outputs = new List<IBuildOutput>();
        try
        {
            foreach (BringUpStep step in steps)
            {
                Waveforms[] waves = [];
                Put(step.FileName + ending, true, stream => waves = WriteStream(step, stream, cancellation));
                foreach ((BringUpView view, Waveforms wave) in step.Views.Zip(waves))
                {
                    var options = new PictureOptions { Title = step.FileName + ending, WidthPixels = PictureWidth, HeightPixels = PictureHeight };
                    Put(BringUpContent.PictureName(step, view), false, stream => WaveformPainter.RenderSvg(WaveformPicture.Of(wave, options, []), stream));
                }
            }

            Put(PageName, false, stream => BringUpPage.Write(Content(), stream));
            outputs.ForEach(output => output.Commit());
        }
        finally
        {
            outputs.ForEach(output => output.Dispose());
        }

        void Put(string name, bool isBinary, Action<Stream> write)
        {
            IBuildOutput output = files.Create(Path.Combine(folder, name), isBinary);
            outputs.Add(output);
            write(output.Stream);
            output.Close();
        }
    }

    private Waveforms[] WriteStream(BringUpStep step, Stream target, CancellationToken cancellation)
    {
        Machine machine = settings.Machine;

        // A load of a resistor and a capacitor knows no speed limit.
        Machine followed = step.Phase == BringUpPhase.DummyLoad ? machine with { Settle = machine.Settle with { SlewNanometresPerSecond = 0, ResponseX = [], ResponseY = [] } } : machine;
        WaveformSampler[] samplers = [.. step.Views.Select(view => new WaveformSampler(
            step.FileName, TraceWindow.OfTime(bench.Seconds(view.FromTicks), bench.Seconds(view.Ticks)), followed))];
        IDocumentSink<RecordsHeader, DeflectionRecord> writer = OutputFormats.Create(OutputFormat.Stream, target, machine);
        var checker = new RecordsChecker(new FanOut<RecordsHeader, DeflectionRecord>([writer, .. samplers]));
        checker.Begin(ScalePass.HeaderOf(StageOptions.Scale(settings.Job, machine)));
        var batch = new SinkBatch<RecordsHeader, DeflectionRecord>(checker, cancellation);
        foreach (DeflectionRecord record in step.Records)
        {
            batch.Add(record);
        }

        batch.End();
        return [.. samplers.Select(sampler => sampler.ToWaveforms())];
    }

    private BringUpContent Content()
    {
        Machine machine = settings.Machine;
        Dac dac = machine.Dac;
        return new BringUpContent(machine.Name, settings.ToolVersion, steps)
        {
            Facts =
            [
                ("Steps", BringUpText.Number(steps.Length)),
                ("Converters", BringUpText.Number(dac.Bits) + " bits, " + Choices.Coding.WordOf(dac.Coding)),
                ("Range", $"{BringUpText.Volts(dac.MinimumVolts)} to {BringUpText.Volts(dac.MaximumVolts)}"),
                ("One code", BringUpText.Volts(dac.LsbVolts)),
                ("Clock", BringUpText.Hertz(machine.Clock.Hertz)),
                ("Beam off", machine.Blanker.IsPresent ? $"blank line {BlankText.OffLevel(machine.Blanker)}" : "never: no blanker"),
            ],
            StreamEnding = ending,
            ShortestSeconds = bench.Seconds(bench.PaceTicks),
            RecordsPerBlock = bench.RecordsPerBlock,
            HoldsOneBlock = bench.Blocks == 1,
            HasBlanker = machine.Blanker.IsPresent,
        };
    }
}
