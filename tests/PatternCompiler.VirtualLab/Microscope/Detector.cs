using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Truth;

namespace PatternCompiler.VirtualLab.Microscope;

/// <summary>
/// The detector while a stream plays over a sample that was written before: one sample for each point of the stream, in its order, of
/// what lies under the beam in the middle of the point's dwell. The camera's signal, with its noise; no shading.
/// </summary>
/// <param name="truth">The microscope.</param>
/// <param name="layer">How the sample lies under the beam.</param>
/// <param name="films">Developed parts of it; what lies in none is bare of marks.</param>
/// <param name="dice">Noise.</param>
public sealed class Detector(MicroscopeTruth truth, LayerTruth layer, IReadOnlyList<(SampleWindow Window, DevelopedFilm Film)> films, Dice dice)
{
    // A picture's pixel takes so long at the writing current.
    private const double PixelSeconds = 5e-6;

    private readonly List<double> samples = [];
    private readonly Camera camera = new(truth, dice);

    /// <summary>All samples so far.</summary>
    public IReadOnlyList<double> Samples => samples;

    /// <summary>A point was exposed with the beam here, so long.</summary>
    public void See(double beamX, double beamY, double seconds)
    {
        (double x, double y) = layer.Under(beamX, beamY);
        foreach ((SampleWindow window, DevelopedFilm film) in films)
        {
            if (x >= window.Left && x <= window.Right && y >= window.Bottom && y <= window.Top)
            {
                samples.Add(camera.Sample(film, x, y, seconds / PixelSeconds));
                return;
            }
        }

        throw new InvalidOperationException($"The beam is at ({x:0}, {y:0}) nm of the layer, where nothing was developed to be looked at.");
    }
}
