using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.Generate.Patterns;

/// <summary>A star of wedge-shaped spokes that narrow towards the middle.</summary>
internal static class ResolutionStar
{
    public static readonly TestPattern Pattern = new(
        "resolution-star",
        "spokes that narrow towards the middle",
        new PatternGuide(
            "Write it in best focus, at the dose for clearing.",
            "Measure the radius at which the spokes flow together, along x, along y and on the diagonals.",
            "Spoke width there is π·radius/spokes: the resolution in that direction. A star that is blurred along one axis only shows astigmatism; a stepped edge shows the DAC."),
        [
            PatternParameter.Count("spokes", 24, "spokes"),
            PatternParameter.Length("radius", "20 um", "outer radius"),
            PatternParameter.Length("inner", "0.3 um", "radius where the spokes begin"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int spokes = arguments.Count("spokes");
        double outer = arguments.Length("radius");
        double inner = arguments.Length("inner");
        PatternDrawing.Require(inner < outer, "the inner radius reaches the outer one", "make the inner radius smaller");
        for (int i = 0; i < spokes; i++)
        {
            (double fromSin, double fromCos) = Trigonometry.SinCos(Math.PI * (2 * i - 0.5) / spokes);
            (double toSin, double toCos) = Trigonometry.SinCos(Math.PI * (2 * i + 0.5) / spokes);
            drawing.Polygon(
            [
                (inner * fromCos, inner * fromSin), (outer * fromCos, outer * fromSin),
                (outer * toCos, outer * toSin), (inner * toCos, inner * toSin),
            ]);
        }
    }
}
