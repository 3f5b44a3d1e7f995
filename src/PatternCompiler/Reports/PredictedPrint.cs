using System.Collections.Immutable;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Reports;

/// <summary>What a build's report predicts, small enough to lay beside that of many others.</summary>
/// <param name="Window">The part that was simulated.</param>
/// <param name="MeanNanometres">Mean error of the printed edges.</param>
/// <param name="ThreeSigmaNanometres">Three standard deviations about it.</param>
/// <param name="Samples">Places measured.</param>
/// <param name="Lost">Places of these without a printed edge; they are no part of the errors.</param>
/// <param name="Faults">Number of places where the print hangs together otherwise than drawn.</param>
/// <param name="FaultWords">These by kind, in words; empty for none.</param>
/// <param name="Png">A small picture of the part, as PNG.</param>
internal sealed record PredictedPrint(
    SampleWindow Window, double MeanNanometres, double ThreeSigmaNanometres, long Samples, long Lost, int Faults, string FaultWords, ImmutableArray<byte> Png)
{
    /// <summary>Of more faults the frames would hide the print.</summary>
    public const int MostFrames = 24;

    // A plot of 200 by 160 pixels: shapes are still told apart.
    private const int PictureWidth = 290;

    /// <summary>The verdict in words.</summary>
    public string Verdict => Faults > 0 ? FaultWords
        : Lost > 0 ? $"edges lost at {FactText.Count(Lost, "place", "places")}"
        : "sound";

    /// <summary>There is a printed edge, so that the errors mean something.</summary>
    public bool HasEdges => Samples > Lost;

    /// <summary>Nothing hangs together otherwise than drawn, and every edge prints.</summary>
    public bool IsSound => Faults == 0 && Lost == 0;

    /// <summary>In short what a report shows at length.</summary>
    /// <param name="window">The part that was simulated.</param>
    /// <param name="resist">What was drawn there, and the level at which it prints.</param>
    /// <param name="result">The simulation.</param>
    public static PredictedPrint Of(SampleWindow window, PredictedResist resist, SimulationResult result)
    {
        var options = new PictureOptions
        {
            WidthPixels = PictureWidth,
            IsBare = true,
            Window = new PictureWindow((window.Left + window.Right) / 2, (window.Bottom + window.Top) / 2, window.Right - window.Left),
        };
        ShapeReport? shapes = result.Shapes;
        Scene scene = SimulationPicture.Compose(result, resist.Drawn, resist.LevelCoulombsPerSquareMetre, options);
        if (shapes?.Faults.Length > MostFrames)
        {
            scene = scene with { Batches = [.. scene.Batches.Where(batch => batch.Role != SceneRole.Alarm)] };
        }

        using var png = new MemoryStream();
        SceneRenderer.RenderPlotPng(scene, png);
        return new PredictedPrint(
            window,
            result.Edges?.MeanNanometres ?? 0,
            result.Edges?.ThreeSigmaNanometres ?? 0,
            result.Edges?.Samples ?? 0,
            result.Edges?.Lost ?? 0,
            shapes?.Faults.Length ?? 0,
            shapes is { IsSound: false } ? ShapeText.Counts(shapes) : "",
            [.. png.ToArray()]);
    }

    /// <summary>The same values, and the same picture byte for byte.</summary>
    public bool Equals(PredictedPrint? other) => other is not null
        && (Window, MeanNanometres, ThreeSigmaNanometres, Samples, Lost, Faults, FaultWords) == (other.Window, other.MeanNanometres, other.ThreeSigmaNanometres, other.Samples, other.Lost, other.Faults, other.FaultWords)
        && Png.AsSpan().SequenceEqual(other.Png.AsSpan());

    /// <inheritdoc/>
    public override int GetHashCode() => HashCode.Combine(Window, MeanNanometres, Faults, Png.Length);
}
