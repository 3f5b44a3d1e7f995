using System.Text.Json;

namespace PatternCompiler.EndToEnd;

public sealed class CorrectionTests
{
    // The promise of the example's README, measured on the bytes that the controller gets: corrected doses bring edges that
    // were tens of nanometres off to within 2 nm.
    [Fact]
    public void Corrected_doses_put_the_edges_of_the_example_where_they_are_drawn()
    {
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples/humidity-sensor", "chip");
        JsonElement plain = Edges(folder, "job.yaml", "humidity-sensor");
        JsonElement corrected = Edges(folder, "job-corrected.yaml", "humidity-sensor-corrected");
        Assert.True(ThreeSigma(plain) > 20, $"{plain}");

        // Against the drawn curves: the build's own chords, up to 1 nm off, are in it.
        Assert.True(ThreeSigma(corrected) < 3, $"{corrected}");
        Assert.InRange(corrected.GetProperty("meanNanometres").GetDouble(), -0.5, 0.5);
        Assert.InRange(corrected.GetProperty("worstNanometres").GetDouble(), -6, 6);
        Assert.Equal(0, corrected.GetProperty("lost").GetInt64());
    }

    private static double ThreeSigma(JsonElement edges) => edges.GetProperty("threeSigmaNanometres").GetDouble();

    private static JsonElement Edges(WorkFolder folder, string job, string name)
    {
        folder.Run("build", $"chip/{job}", "-q").Expect(0);
        Outcome report = folder.Run(
            "simulate", $"chip/out/{name}.stream", "--job", $"chip/{job}", "--against", "chip/humidity-sensor.dxf", "--pixel", "10 nm", "--json").Expect(0);
        return JsonDocument.Parse(report.Output).RootElement.GetProperty("edges");
    }
}
