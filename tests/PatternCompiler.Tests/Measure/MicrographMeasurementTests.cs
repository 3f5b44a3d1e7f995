using System.Collections.Immutable;
using System.Diagnostics;
using PatternCompiler.Diagnostics;
using PatternCompiler.Measure;
using PatternCompiler.Measure.Registration;
using Xunit.Abstractions;

namespace PatternCompiler.Tests.Measure;

public sealed class MicrographMeasurementTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(5)]
    public void Probe(int seed)
    {
        var random = new Random(seed);
        var truth = Bars() with
        {
            Seed = (ulong)seed, Bias = random.NextDouble() * 20 - 10, Crest = seed % 2 * 0.2, Shading = 0.1,
            Map = PictureMap.Similar(random.NextDouble() * 300 - 150, random.NextDouble() * 300 - 150, 5 * (1 + 0.02 * (random.NextDouble() - 0.5)), (random.NextDouble() - 0.5) * 0.2),
        };
        var clock = Stopwatch.StartNew();
        try
        {
            MeasuredPicture m = Measure(truth, MapFreedom.Similarity);
            output.WriteLine($"{clock.ElapsedMilliseconds} ms explained {m.Explained} noise {m.Noise} blur {m.BlurNanometres} height {m.Height} crest {m.Crest} scaleError {m.ScaleError} residual {m.ResidualNanometres}");
            output.WriteLine($"bias {truth.Bias} edges {m.Edges.MeanNanometres} 3s {m.Edges.ThreeSigmaNanometres} noise {m.EdgeNoiseNanometres} samples {m.Edges.Samples} lost {m.Edges.Lost} at {m.Edges.FirstLost}");
            output.WriteLine($"map {m.Map} truth {truth.Map} off {m.Map.DistanceTo(truth.Map, 256, 192)}");
            output.WriteLine($"width error {m.Widths.Select(w => (w.WidthNanometres - w.DrawnNanometres) * (w.IsGap ? -1 : 1) - 2 * truth.Bias).Average()} rms roughness {m.Widths.Average(w => w.WidthRoughnessNanometres)}");

            foreach (var w in m.Squares)
            {
                output.WriteLine($"{w}");
            }
        }
        catch (CompileException e)
        {
            output.WriteLine(e.Diagnostic.ToString());
            throw;
        }
    }

    private static SyntheticMicrograph Bars() => new()
    {
        Rectangles =
        [
            (-900, -700, -700, 600, 1), (-500, -700, -300, 600, 1), (-100, -700, 100, 600, 1), (300, -700, 500, 600, 1), (800, -500, 1000, 300, 1), (-1000, 800, 200, 1000, 1.5), (700, 500, 1100, 900, 1),
        ],
    };

    private static MeasuredPicture Measure(SyntheticMicrograph truth, MapFreedom freedom = MapFreedom.Rigid, double pixel = 5) =>
        MicrographMeasurement.Run(truth.Render(), truth.Layout(), new MeasureOptions(pixel, freedom), "a.tif", new DiagnosticSink());
}
