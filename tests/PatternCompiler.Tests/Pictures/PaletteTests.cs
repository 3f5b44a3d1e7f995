using PatternCompiler.Pictures;

namespace PatternCompiler.Tests.Pictures;

/// <summary>
/// Colours must stay apart for normal sight and for protanopia, deuteranopia and tritanopia. Simulation matrices:
/// G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, A physiologically-based model for simulation of color vision
/// deficiency, IEEE Trans. Vis. Comput. Graph. 15, 1291 (2009), severity 1.0 (values from memory). Distances in the OKLab
/// space (B. Ottosson, 2020; matrices from memory). The least distance of 0.1 is our own choice: neighbouring steps of
/// a ten-step grey scale are about that far apart.
/// </summary>
public class PaletteTests
{
    private const double LeastDistance = 0.1;

    private static readonly double[][] Sights =
    [
        [1, 0, 0, 0, 1, 0, 0, 0, 1],
        [0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998],
        [0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881],
        [1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.303900],
    ];

    [Fact]
    public void Layers_jumps_and_paper_stay_apart_for_every_kind_of_sight()
    {
        PictureColour[] colours = [.. Enumerable.Range(0, Palette.HueCount).Select(Palette.Hue), Palette.Jump, Palette.Plot];
        foreach (double[] sight in Sights)
        {
            for (int i = 0; i < colours.Length; i++)
            {
                for (int j = 0; j < i; j++)
                {
                    double distance = Distance(Seen(colours[i], sight), Seen(colours[j], sight));
                    Assert.True(distance >= LeastDistance, $"{colours[i]} and {colours[j]} are {distance:F3} apart");
                }
            }
        }
    }

    [Fact]
    public void Tints_grow_steadily_darker_and_end_in_the_hue_itself()
    {
        for (int hue = 0; hue < Palette.HueCount; hue++)
        {
            double[] lightness = [.. Enumerable.Range(1, Palette.TintCount).Select(tint => Seen(Palette.Tint(hue, tint), Sights[0])[0])];
            Assert.All(lightness.Zip(lightness.Skip(1)), pair => Assert.True(pair.First > pair.Second));
            Assert.Equal(Palette.Hue(hue), Palette.Tint(hue, Palette.TintCount));
        }
    }

    private static double Distance(double[] a, double[] b) => Math.Sqrt(a.Zip(b).Sum(pair => (pair.First - pair.Second) * (pair.First - pair.Second)));

    private static double[] Seen(PictureColour colour, double[] sight)
    {
        double[] linear = Times(sight, [Linear(colour.Red), Linear(colour.Green), Linear(colour.Blue)]);
        double[] cones = Times(
            [.4122214708, .5363325363, .0514459929, .2119034982, .6806995451, .1073969566, .0883024619, .2817188376, .6299787005],
            [.. linear.Select(v => Math.Max(v, 0))]);
        return Times(
            [.2104542553, .7936177850, -.0040720468, 1.9779984951, -2.4285922050, .4505937099, .0259040371, .7827717662, -.8086757660],
            [.. cones.Select(Math.Cbrt)]);
    }

    private static double[] Times(double[] matrix, double[] v) =>
        [.. Enumerable.Range(0, 3).Select(row => matrix[3 * row] * v[0] + matrix[3 * row + 1] * v[1] + matrix[3 * row + 2] * v[2])];

    private static double Linear(byte channel)
    {
        double c = channel / 255.0;
        return c <= 0.04045 ? c / 12.92 : Math.Pow((c + 0.055) / 1.055, 2.4);
    }
}
